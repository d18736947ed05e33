package equilibrium_test

import (
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"runtime"
	"sync"

	"example.com/chelation/chem/equilibrium"
)

// tally sums up a run.
type tally struct {
	Problems, Failures int
	Warm               int // solves that started from a neighbour's answer, beyond Problems
	Seed               uint64
	Residual           float64 // worst relative mass balance
	Saturation         float64 // worst |ln(Q/Ks)| of a solid that is present, before rounding
	Crowded            int     // refused because some species would exceed 1000 mol/L
	MostCrowded        int     // Newton steps until then
	WithSolids         int     // problems in whose answer a solid is present
	Steps, MostSteps   int     // Newton steps, total and most in one problem
	Over               [4]int  // problems that took more than 10, 20, 40, 80 steps
}

func (t tally) String() string {
	return fmt.Sprintf("problems %d and %d neighbours  seed %d  failures %d  crowded %d in at most %d steps  worst residual %.2g  worst saturation %.2g  with solids %d\nNewton steps: mean %.2f, most %d; more than 10, 20, 40, 80: %v",
		t.Problems, t.Warm, t.Seed, t.Failures, t.Crowded, t.MostCrowded, t.Residual, t.Saturation, t.WithSolids, float64(t.Steps)/float64(max(1, t.Problems+t.Warm)), t.MostSteps, t.Over)
}

const block = 1000 // problems of one stream of random numbers

// solveMany solves n problems from a block on, on all processors; each block has its own
// stream of random numbers, so that a failure can be repeated. It
// prints the first show failures to out.
func solveMany(from, n int, seed uint64, show int, out io.Writer) tally {
	total := tally{Seed: seed}
	var mu sync.Mutex
	next := make(chan int)
	var wg sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wg.Add(1)
		go func() {
			defer wg.Done()
			for b := range next {
				t := tally{}
				var fails []string
				rng := rand.New(rand.NewPCG(seed, uint64(from+b)))
				draw := drawer(rng)
				work := map[*equilibrium.System]*equilibrium.Workspace{}
				var c equilibrium.Conditions
				r := new(equilibrium.Result)
				for q := range min(block, n-b*block) {
					p := draw(q, &c)
					w := work[p.System]
					if w == nil {
						w = p.System.NewWorkspace()
						work[p.System] = w
					}
					if err := t.try(p, w, &c, r, rng, q%4 == 0); err != nil {
						t.Failures++
						fails = append(fails, fmt.Sprintf("block %d problem %d: %v", from+b, q, err))
					}
					t.Problems++
				}
				mu.Lock()
				total.merge(t)
				for _, f := range fails {
					if show > 0 {
						fmt.Fprintln(out, f)
						show--
					}
				}
				mu.Unlock()
			}
		}()
	}
	for b := 0; b*block < n; b++ {
		next <- b
	}
	close(next)
	wg.Wait()
	return total
}

// drawer returns what draws the problems of a block: baths, and every fifth of
// any shape.
func drawer(rng *rand.Rand) func(q int, c *equilibrium.Conditions) *problem {
	bath := newBaths(rng, 10)
	var shape *problem
	return func(q int, c *equilibrium.Conditions) *problem {
		if q%5 != 4 {
			return bath.draw(rng, c)
		}
		if q%50 == 4 {
			shape = anyShape(rng)
		}
		if q%10 == 4 {
			shape.fromAnswer(rng, c)
		} else {
			shape.fromConstants(rng, c)
		}
		return shape
	}
}

// try solves a problem and, if asked, two neighbours from the last answer.
func (t *tally) try(p *problem, w *equilibrium.Workspace, c *equilibrium.Conditions, r *equilibrium.Result, rng *rand.Rand, on bool) error {
	err := w.Solve(c, r)
	for step := 0; ; step++ {
		if err == nil {
			err = t.check(p, c, r)
		}
		if errors.Is(err, equilibrium.ErrCrowded) && !p.linked { // an answer drawn first is one that water holds
			var e *equilibrium.ComponentError
			errors.As(err, &e)
			if !(e.Value >= 1e3 || e.Value == 0) || e.Component < 0 || e.Component >= len(c.Total) {
				return fmt.Errorf("told as crowded: %w", err)
			}
			t.Crowded++
			t.MostCrowded = max(t.MostCrowded, e.Iterations)
			return nil
		}
		if err != nil && step > 0 {
			return fmt.Errorf("warm: %w", err)
		}
		if err != nil || !on || step == 2 {
			return err
		}
		p.neighbour(rng, c)
		t.Warm++
		err = w.SolveFrom(c, r)
	}
}

// neighbour moves the totals by a tenth: each by itself where any can be met, else all
// together.
func (p *problem) neighbour(rng *rand.Rand, c *equilibrium.Conditions) {
	f := 1 + 0.1*rng.NormFloat64()
	for i := range c.Total {
		if !p.linked {
			f = 1 + 0.1*rng.NormFloat64()
		}
		c.Total[i] *= f
	}
}

func (t *tally) merge(u tally) {
	t.Problems += u.Problems
	t.Warm += u.Warm
	t.Failures += u.Failures
	t.Crowded += u.Crowded
	t.MostCrowded = max(t.MostCrowded, u.MostCrowded)
	t.Residual = max(t.Residual, u.Residual)
	t.Saturation = max(t.Saturation, u.Saturation)
	t.WithSolids += u.WithSolids
	t.Steps += u.Steps
	t.MostSteps = max(t.MostSteps, u.MostSteps)
	for i := range t.Over {
		t.Over[i] += u.Over[i]
	}
}

// check holds one answer against the definition of equilibrium, by its
// numbers alone, and counts it.
func (t *tally) check(p *problem, c *equilibrium.Conditions, r *equilibrium.Result) error {
	n := len(c.Total)
	sum, size := make([]float64, n), make([]float64, n)
	gather := func(rows [][]float64, amounts []float64) error {
		for j, row := range rows {
			if !(amounts[j] >= 0) {
				return fmt.Errorf("amount %d is %g", j, amounts[j])
			}
			for i, v := range row {
				sum[i] += v * amounts[j]
				size[i] += math.Abs(v * amounts[j])
			}
		}
		return nil
	}
	if err := gather(p.Species, r.C); err != nil {
		return err
	}
	if err := gather(p.Solids, r.Solid); err != nil {
		return err
	}
	var worst float64
	for i, total := range c.Total {
		if c.Held != nil && c.Held[i] {
			total = r.Total[i]
		}
		if s := size[i] + math.Abs(total); s > 0 {
			worst = max(worst, math.Abs(sum[i]-total)/s, math.Abs(sum[i]-r.Total[i])/s)
		}
	}
	if !(worst <= 1e-12) || !(r.Residual <= 1e-12) {
		return fmt.Errorf("balance off by %g, reported %g", worst, r.Residual)
	}
	// The least that can be told apart is 1e-9, but for logarithms of millions, which a
	// float64 holds, and adds up, to 2⁻⁵² of themselves.
	law := func(row []float64) (s, least float64) {
		for i, v := range row {
			if v != 0 {
				s += v * r.LnC[i]
				least += 0x1p-52 * math.Abs(v*r.LnC[i])
			}
		}
		return s, max(1e-9, least)
	}
	for j, row := range p.Species {
		s, least := law(row)
		if s += c.LnK[j] - math.Log(r.C[j]); r.C[j] > 1e-300 && !(math.Abs(s) < least) {
			return fmt.Errorf("mass action of species %d off by %g", j, s)
		}
	}
	present := false
	for k, row := range p.Solids {
		missing := false
		for i, v := range row {
			missing = missing || v != 0 && math.IsInf(r.LnC[i], 0)
		}
		told := r.Saturation[k]
		if off := math.IsInf(c.LnKs[k], 1); missing || off {
			if r.Solid[k] != 0 || off != math.IsNaN(told) || !off && !math.IsInf(told, -1) {
				return fmt.Errorf("solid %d is switched off or without a component, but %g mol/L at a saturation of %g", k, r.Solid[k], told)
			}
			continue
		}
		s, least := law(row)
		if s -= c.LnKs[k]; s > least {
			return fmt.Errorf("solid %d oversaturated by %g", k, s)
		}
		if !(math.Abs(told-min(s, 0)) < least) || told > 0 || r.Solid[k] > 0 && told != 0 {
			return fmt.Errorf("solid %d: a saturation of %g is told of one of %g", k, told, s)
		}
		if r.Solid[k] > 0 {
			present = true
			t.Saturation = max(t.Saturation, math.Abs(s))
			if s < -least {
				return fmt.Errorf("solid %d present though undersaturated by %g", k, s)
			}
		}
	}
	if present {
		t.WithSolids++
	}
	t.Residual = max(t.Residual, worst)
	t.Steps += r.Iterations
	t.MostSteps = max(t.MostSteps, r.Iterations)
	for i := range t.Over {
		if r.Iterations > 10<<i {
			t.Over[i]++
		}
	}
	return nil
}
