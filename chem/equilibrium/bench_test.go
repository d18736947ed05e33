package equilibrium

import (
	"fmt"
	"math"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// A task is one thing to time: run does it once and returns the Newton steps
// it took.
type task struct {
	name string
	run  func() int
}

var sink float64

// tasks are the subjects of the benchmarks, the yardsticks first.
func tasks(t testing.TB) []task {
	q := newBath(t)
	fail := func(err error) {
		if err != nil {
			t.Helper()
			t.Fatal(err)
		}
	}
	x, arg, out := answer(t, q)
	m := &q.sys.species
	// Cold and warm solves go along the same titration: acid from H = -0.10
	// (about pH 12.5) to 0.40 (about pH 2) and back, 100 points each way.
	walk := func(solve func(w *Workspace, c *Conditions, r *Result) error) func() int {
		w, r := q.sys.NewWorkspace(), new(Result)
		c := &Conditions{LnK: q.lnK, LnKs: q.off, Total: append([]float64(nil), q.total...)}
		k, step := 0, 1
		return func() int {
			c.Total[q.H] = -0.10 + 0.50*float64(k)/99
			if k += step; k == 0 || k == 99 {
				step = -step
			}
			fail(solve(w, c, r))
			return r.Iterations
		}
	}
	list := []task{
		// every species of the bath once at fixed x, by one math.Exp each
		{"SpeciesPass", func() int {
			for j := range m.len() {
				a := q.lnK[j]
				for e := m.start[j]; e < m.start[j+1]; e++ {
					a += m.coef[e] * x[m.index[e]]
				}
				out[j] = math.Exp(a)
			}
			sink += out[0]
			return 0
		}},
		// the strictest reading of the same: the arguments given
		{"ExpOnly", func() int {
			for j, v := range arg {
				out[j] = math.Exp(v)
			}
			sink += out[0]
			return 0
		}},
		{"SolveCold", walk((*Workspace).Solve)},
		{"SolveWarm", walk((*Workspace).SolveFrom)},
	}
	{
		w, r := q.sys.NewWorkspace(), new(Result)
		c := &Conditions{LnK: q.lnK, LnKs: q.lnKs, Total: append([]float64(nil), q.total...)}
		c.Total[q.H] = -0.15
		fail(w.Solve(c, r))
		for k, v := range r.Solid {
			if (v > 0) != (k == q.ferrihydrite) {
				t.Fatal("want ferric hydroxide and no other solid")
			}
		}
		list = append(list, task{"SolveSolids", func() int {
			fail(w.Solve(c, r))
			return r.Iterations
		}})
	}
	medium := q.medium
	medium.LnKs0 = q.off
	list = append(list,
		task{"IonicStrength/cold", walk(func(w *Workspace, c *Conditions, r *Result) error { return solveIn(w, &medium, c, r) })},
		task{"IonicStrength/warm", walk(func(w *Workspace, c *Conditions, r *Result) error { return solveFromIn(w, &medium, c, r) })})
	{
		d := newDose(q, &medium)
		list = append(list, task{"Dose", func() int {
			steps, err := d.solve()
			fail(err)
			return steps
		}})
	}
	return append(list, general(t, q)...)
}

// answer returns ln c of the components of the bath, ln c of its species, and
// room for the species.
func answer(t testing.TB, q *bath) (x, lnC, c []float64) {
	w, r := q.sys.NewWorkspace(), new(Result)
	if err := w.Solve(&Conditions{LnK: q.lnK, LnKs: q.off, Total: q.total}, r); err != nil {
		t.Fatal(err)
	}
	for _, v := range r.C {
		lnC = append(lnC, math.Log(v))
	}
	return r.LnC, lnC, r.C
}

// dose finds the citric acid that brings a bath to pH 7, on the activity scale of
// the medium. With the activity of H⁺ held, the total of H⁺ that the answer implies
// and the total that the dose brings are both almost linear in the dose.
type dose struct {
	q      *bath
	m      *Medium
	w      *Workspace
	r      *Result
	c      Conditions
	start  []float64
	change Change
	out    Response

	implied []float64 // what the totals move by, no solids being there
}

func newDose(q *bath, m *Medium) *dose {
	n := len(q.total)
	d := &dose{q: q, m: m, w: q.sys.NewWorkspace(), r: new(Result)}
	d.start = append([]float64(nil), q.total...)
	d.start[q.H] = -0.05 // an alkaline bath
	d.c = Conditions{Total: append([]float64(nil), d.start...), Held: make([]bool, n), LnHeld: make([]float64, n)}
	d.c.Held[q.H], d.c.LnHeld[q.H] = true, -7*math.Ln10
	d.change.Total, d.implied = make([]float64, n), make([]float64, n)
	d.change.Total[q.cit] = 1
	return d
}

// solve returns the Newton steps of all solves; d.amount() is the answer.
func (d *dose) solve() (steps int, err error) {
	q := d.q
	d.c.Total[q.cit] = d.start[q.cit]
	if err := solveIn(d.w, d.m, &d.c, d.r); err != nil {
		return 0, err
	}
	if err := d.w.Respond(&d.change, &d.out); err != nil {
		return 0, err
	}
	steps = d.r.Iterations
	clear(d.implied)
	for j, v := range d.out.C {
		q.sys.species.axpy(v, j, d.implied)
	}
	slope := d.implied[q.H] - 3
	miss := d.miss()
	for range 30 {
		step := -miss / slope
		d.c.Total[q.cit] += step
		if err := solveFromIn(d.w, d.m, &d.c, d.r); err != nil {
			return 0, err
		}
		steps += d.r.Iterations
		last := miss
		if miss = d.miss(); math.Abs(miss) < 1e-11 {
			return steps, nil
		}
		slope = (miss - last) / step
	}
	return 0, fmt.Errorf("no dose found")
}

func (d *dose) amount() float64 { return d.c.Total[d.q.cit] - d.start[d.q.cit] }

// miss is the H⁺ that pH 7 takes less what bath and dose bring, mol/L.
func (d *dose) miss() float64 { return d.r.Total[d.q.H] - d.start[d.q.H] - 3*d.amount() }

// TestDose checks the dose the other way round: added to the bath, it gives pH 7.
func TestDose(t *testing.T) {
	q := newBath(t)
	m := q.medium
	m.LnKs0 = q.off
	d := newDose(q, &m)
	_, err := d.solve()
	if err != nil {
		t.Fatal(err)
	}
	total := append([]float64(nil), d.start...)
	total[q.H] += 3 * d.amount()
	total[q.cit] += d.amount()
	w, r := q.sys.NewWorkspace(), new(Result)
	if err := solveIn(w, &m, &Conditions{Total: total}, r); err != nil {
		t.Fatal(err)
	}
	if pH := -r.LnC[q.H]/math.Ln10 + m.D(r.Ionic); math.Abs(pH-7) > 1e-7 {
		t.Errorf("dose %g mol/L gives pH %.9f", d.amount(), pH)
	}
}

func bench(b *testing.B, name string) {
	for _, t := range tasks(b) {
		if t.name != name {
			continue
		}
		steps, runs := 0, 0
		b.ReportAllocs()
		for b.Loop() {
			steps += t.run()
			runs++
		}
		b.ReportMetric(float64(steps)/float64(runs), "steps/op")
	}
}

func BenchmarkSpeciesPass(b *testing.B) { bench(b, "SpeciesPass") }
func BenchmarkExpOnly(b *testing.B)     { bench(b, "ExpOnly") }
func BenchmarkSolveCold(b *testing.B)   { bench(b, "SolveCold") }
func BenchmarkSolveWarm(b *testing.B)   { bench(b, "SolveWarm") }
func BenchmarkSolveSolids(b *testing.B) { bench(b, "SolveSolids") }
func BenchmarkSolveDose(b *testing.B)   { bench(b, "Dose") }
func BenchmarkIonicStrength(b *testing.B) {
	b.Run("cold", func(b *testing.B) { bench(b, "IonicStrength/cold") })
	b.Run("warm", func(b *testing.B) { bench(b, "IonicStrength/warm") })
}

// BenchmarkRatios prints everything in yardsticks, from one run in which the
// tasks take turns and each counts by its fastest turn, so that other work
// on the machine cancels as far as it can.
func BenchmarkRatios(b *testing.B) {
	list := tasks(b)
	best := make([]time.Duration, len(list))
	steps := make([]float64, len(list))
	for b.Loop() {
		for i, t := range list {
			n := 200
			if strings.HasPrefix(t.name, "GeneralNewton") {
				n = 5
			}
			sum := 0
			start := time.Now()
			for range n {
				sum += t.run()
			}
			if d := time.Since(start) / time.Duration(n); best[i] == 0 || d < best[i] {
				best[i] = d
			}
			steps[i] = float64(sum) / float64(n)
		}
	}
	var table strings.Builder
	fmt.Fprintf(&table, "\n%-20s %10s %9s %9s %7s %6s\n", "", "time", "passes", "exp only", "cold", "steps")
	for i, t := range list {
		fmt.Fprintf(&table, "%-20s %10s %9.2f %9.2f %7.2f %6.2f\n", t.name, best[i],
			float64(best[i])/float64(best[0]), float64(best[i])/float64(best[1]), float64(best[i])/float64(best[2]), steps[i])
	}
	fmt.Print(table.String()) // b.Log keeps ten lines only
}

// chain is a system of n components and about 10 n species of up to three
// components each, to show how the cost grows.
func chain(t testing.TB, n int) (*System, *Conditions) {
	var species [][]float64
	c := &Conditions{}
	add := func(logK float64, entries ...int) {
		row := make([]float64, n)
		for e := 0; e < len(entries); e += 2 {
			row[entries[e]] += float64(entries[e+1])
		}
		species = append(species, row)
		c.LnK = append(c.LnK, logK*math.Ln10)
	}
	for i := range n {
		add(0, i, 1)
		c.Total = append(c.Total, 1e-3/float64(1+i%5))
	}
	add(-14, 0, -1)
	ligands := max(1, n/4)
	for l := 1; l <= ligands; l++ {
		for h := 1; h <= 4; h++ {
			add(9*float64(h)-1.5*float64(h*(h-1)), l, 1, 0, h)
		}
	}
	for m := ligands + 1; m < n; m++ {
		for h := 1; h <= 3; h++ {
			add(-8*float64(h)-float64(m%3), m, 1, 0, -h)
		}
		for k := range min(3, ligands) {
			l := 1 + (m+k)%ligands
			add(6+float64(m%7), m, 1, l, 1)
			add(10+float64(m%7), m, 1, l, 1, 0, 1)
			add(-2+float64(m%7), m, 1, l, 1, 0, -1)
		}
	}
	s, err := New(n, species, nil)
	if err != nil {
		t.Fatal(err)
	}
	return s, c
}

// BenchmarkScaling shows cold solves from 5 to 100 components in passes over all
// species, best against best, and what a workspace takes, per coefficient
// other than zero.
func BenchmarkScaling(b *testing.B) {
	for _, n := range []int{5, 10, 20, 40, 100} {
		s, c := chain(b, n)
		b.Run(fmt.Sprintf("%dx%d", n, s.species.len()), func(b *testing.B) {
			w, r := s.NewWorkspace(), new(Result)
			var solve, pass time.Duration
			best := func(d *time.Duration, f func()) {
				start := time.Now()
				for range 10 {
					f()
				}
				if t := time.Since(start) / 10; *d == 0 || t < *d {
					*d = t
				}
			}
			for b.Loop() {
				best(&solve, func() {
					if err := w.Solve(c, r); err != nil {
						b.Fatal(err)
					}
				})
				best(&pass, w.evaluateAll)
			}
			b.ReportMetric(float64(r.Iterations), "steps")
			b.ReportMetric(float64(solve)/float64(pass), "passes")
		})
	}
}

// evaluateAll is one pass over all species: an exponential for each.
func (w *Workspace) evaluateAll() {
	for j := range w.p.spec {
		w.c[j] = w.law(j)
	}
}

// TestMemoryIsInProportion holds a workspace, after a solve, against the number of
// coefficients other than zero and the square of the components: 100 components take
// not much more than what those two grow by.
func TestMemoryIsInProportion(t *testing.T) {
	per := func(n int) float64 {
		s, c := chain(t, n)
		r := new(Result)
		var before, after runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&before)
		w := s.NewWorkspace()
		require.NoError(t, w.Solve(c, r))
		runtime.ReadMemStats(&after)
		bytes := float64(after.TotalAlloc - before.TotalAlloc)
		t.Logf("%d components, %d species: %.0f kB, residual %.1e", n, s.species.len(), bytes/1e3, r.Residual)
		return bytes / (float64(len(s.species.coef)) + float64(n*n))
	}
	small, large := per(20), per(100)
	require.Less(t, large, 1.5*small)
}

// TestSolvingAllocatesNothing covers every solve that the benchmarks time.
func TestSolvingAllocatesNothing(t *testing.T) {
	for _, k := range tasks(t) {
		if strings.HasPrefix(k.name, "GeneralNewton") {
			continue // the general-purpose minimiser
		}
		k.run()
		if n := testing.AllocsPerRun(200, func() { k.run() }); n != 0 {
			t.Errorf("%s: %g allocations", k.name, n)
		}
	}
}
