package equilibrium_test

import (
	"encoding/binary"
	"errors"
	"flag"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/chem/equilibrium"
)

var (
	problems = flag.Int("problems", 20_000, "how many random problems to solve")
	seed     = flag.Uint64("seed", 2, "of the random problems")
)

// TestRandomProblems solves what chance makes; README.md tells of a million, which took 7.8 steps
// each. More would be another way to the same answers, which no balance notices.
func TestRandomProblems(t *testing.T) {
	n := *problems
	if testing.Short() {
		n /= 10
	}
	sum := solveMany(0, n, *seed, 3, os.Stdout)
	t.Log(sum)
	require.Zero(t, sum.Failures)
	require.LessOrEqual(t, sum.Residual, 1e-12)
	require.LessOrEqual(t, sum.MostCrowded, 100)
	require.Greater(t, sum.WithSolids, n/50)
	require.Less(t, float64(sum.Steps)/float64(sum.Problems+sum.Warm), 7.85)
}

// TestParallel shares one system among goroutines; run with -race.
func TestParallel(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	bath := newBaths(rng, 1)
	const each = 200
	var conditions [4 * each]equilibrium.Conditions
	var p *problem
	for i := range conditions {
		p = bath.draw(rng, &conditions[i])
		c := &conditions[i]
		c.LnK, c.LnKs, c.Total = slices.Clone(c.LnK), slices.Clone(c.LnKs), slices.Clone(c.Total)
	}
	want := new(equilibrium.Result)
	alone := make([][]float64, len(conditions))
	w := p.System.NewWorkspace()
	for i := range conditions {
		require.NoError(t, w.Solve(&conditions[i], want))
		alone[i] = slices.Clone(want.C)
	}
	var wg sync.WaitGroup
	for g := range 4 {
		wg.Add(1)
		go func() {
			defer wg.Done()
			w, r := p.System.NewWorkspace(), new(equilibrium.Result)
			for i := g * each; i < (g+1)*each; i++ {
				if err := w.Solve(&conditions[i], r); err != nil {
					t.Error(err)
					return
				}
				for j, v := range r.C {
					if math.Abs(v-alone[i][j]) > 1e-9*alone[i][j] {
						t.Errorf("problem %d species %d: %g alone, %g in company", i, j, alone[i][j], v)
					}
				}
			}
		}()
	}
	wg.Wait()
}

// FuzzSolve feeds the solver systems and conditions made of arbitrary bytes. It
// may refuse them, but must not panic, hang, give up or answer wrongly.
func FuzzSolve(f *testing.F) {
	f.Add([]byte{3, 8, 1, 1, 0, 0, 200, 3, 255, 17, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10})
	f.Add([]byte{2, 3, 0, 255, 1, 2, 100, 100, 100, 100})
	f.Add([]byte("17100000A00AAAA0\x000\x00\x00 A000AA000A0 0000X0A00A000A000\xf8000800\xb400000008")) // found by fuzzing
	f.Add([]byte("1X00000000X\x000000X000AA00X"))                                                      // species of held components only, on the edge
	f.Add([]byte("0c00000AA00XX000AA0\xff\xff00000\xe5\xe5x"))                                         // metal and ligand equal, so that another species of the metal must vanish
	f.Add([]byte("1B200\xfe\xff\xff0 000 000000"))                                                     // a zero total that a solid alone can meet, beside 1e7 mol/L
	f.Add([]byte("1B200\xfe\xff\xff0 000 0A0000"))                                                     // the same, where another solid lures
	f.Add([]byte("0c200000X00000XAX\x000 0 AA00A000000000\xb4\xb4A"))                                  // one solid at 3e-14 mol/L beside totals that cancel
	f.Add([]byte("1B200\xfb\xfb\xfb000\x00\x000000  A"))                                               // zero totals on the edge, with coefficients of three
	rng := rand.New(rand.NewPCG(13, 14))
	for range 20 {
		b := make([]byte, 120)
		for i := 0; i+8 <= len(b); i += 8 {
			binary.LittleEndian.PutUint64(b[i:], rng.Uint64())
		}
		f.Add(b)
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		rest := rand.New(rand.NewPCG(uint64(len(data)), 15)) // what the bytes leave open
		next := func() float64 {
			if len(data) == 0 {
				return float64(rest.IntN(256))
			}
			v := data[0]
			data = data[1:]
			return float64(v)
		}
		n := 1 + int(next())%5
		m := int(next()) % 12
		k := int(next()) % 3
		var species, solids [][]float64
		for i := range n {
			row := make([]float64, n)
			row[i] = 1
			if next() < 240 { // now and then a component without a species of its own
				species = append(species, row)
			}
		}
		rows := func(count int, to *[][]float64) {
			for range count {
				row := make([]float64, n)
				for i := range row {
					if v := next(); v < 120 {
						row[i] = math.Trunc(v/20) - 2
					}
				}
				*to = append(*to, row)
			}
		}
		rows(m, &species)
		rows(k, &solids)
		s, err := equilibrium.New(n, species, solids)
		if err != nil {
			if !errors.Is(err, chem.ErrInput) {
				t.Fatal(err)
			}
			return
		}
		c := equilibrium.Conditions{LnK: make([]float64, len(species)), LnKs: make([]float64, k), Total: make([]float64, n), Held: make([]bool, n), LnHeld: make([]float64, n)}
		for j := range c.LnK {
			if c.LnK[j] = (next() - 128) / 4; c.LnK[j] == 31.75 {
				c.LnK[j] = math.Inf(-1)
			}
		}
		for k := range c.LnKs {
			if c.LnKs[k] = (next() - 128) / 4; c.LnKs[k] == 31.75 {
				c.LnKs[k] = math.Inf(1)
			}
		}
		for i := range c.Total {
			switch v := next(); {
			case v < 30:
			case v < 100:
				c.Total[i] = -math.Pow(10, (v-100)/6)
			case v < 250:
				c.Total[i] = math.Pow(10, (v-250)/12)
			default:
				c.Held[i], c.LnHeld[i] = true, -2*next()/10
			}
		}
		w, r := s.NewWorkspace(), new(equilibrium.Result)
		p := &problem{System: s, Species: species, Solids: solids}
		var sum tally
		for range 2 { // cold, then warm
			err = w.SolveFrom(&c, r)
			if errors.Is(err, equilibrium.ErrInfeasible) || errors.Is(err, equilibrium.ErrUnbounded) || errors.Is(err, equilibrium.ErrCrowded) {
				return
			}
			if err != nil {
				t.Fatalf("%v\nspecies %v\nsolids %v\nconditions %+v", err, species, solids, c)
			}
			if err := sum.check(p, &c, r); err != nil {
				t.Fatalf("%v\nspecies %v\nsolids %v\nconditions %+v\nresult %+v", err, species, solids, c, r)
			}
		}
	})
}

func TestInfeasible(t *testing.T) {
	// H⁺, an electron without a species of its own, Fe: Fe²⁺, Fe³⁺, OH⁻
	redox := [][]float64{{1, 0, 0}, {0, 0, 1}, {0, -1, 1}, {-1, 0, 0}}
	// M and L that exist as ML and ML2 only
	bound := [][]float64{{1, 1}, {1, 2}}
	// two species that need each other: nothing but nothing
	paired := [][]float64{{1, -2}, {-2, 1}}
	// A and B in AB, C in BC and free
	equal := [][]float64{{0, 0, 1}, {1, 1, 0}, {0, 1, 1}}
	for _, c := range []struct {
		name      string
		species   [][]float64
		total     []float64
		component []int // any of these may be named
	}{
		{"electrons that nothing holds", redox, []float64{0, 1e-3, 1e-2}, []int{1}},
		{"more oxidation than iron", redox, []float64{0, -2e-2, 1e-2}, []int{1, 2}},
		{"all iron oxidised, to the last", redox, []float64{0, -1e-2, 1e-2}, []int{1, 2}},
		{"negative metal", redox, []float64{0, -1e-2, -1e-2}, []int{2}},
		{"less ligand than metal", bound, []float64{2e-3, 1e-3}, []int{0, 1}},
		{"nothing", paired, []float64{0, 0}, []int{0, 1}},
		{"nothing left for a trace", equal, []float64{1e-2, 1e-2, 1e-11}, []int{0, 1, 2}},
		{"more ligand than can be bound", bound, []float64{1e-3, 3e-3}, []int{0, 1}},
	} {
		system, err := equilibrium.New(len(c.total), c.species, nil)
		require.NoError(t, err)
		w, r := system.NewWorkspace(), &equilibrium.Result{C: []float64{42}}
		err = w.Solve(&equilibrium.Conditions{LnK: make([]float64, len(c.species)), Total: c.total}, r)
		require.ErrorIs(t, err, equilibrium.ErrInfeasible, c.name)
		var named *equilibrium.ComponentError
		require.True(t, errors.As(err, &named))
		require.Contains(t, c.component, named.Component, c.name)
		require.Equal(t, c.total[named.Component], named.Value, c.name)
		require.Equal(t, 42.0, r.C[0], "a failed call leaves the result alone")
		// and the workspace is as good as new
		if &c.species[0] == &redox[0] {
			require.NoError(t, w.Solve(&equilibrium.Conditions{LnK: make([]float64, 4), Total: []float64{0, -4e-3, 1e-2}}, r))
			require.InEpsilon(t, 4e-3, r.C[2], 1e-12)
		}
	}
}

// TestSolidIsASource has hydrogen ions in solution, of which there is a total of
// zero, come from the hydroxide that settles.
func TestSolidIsASource(t *testing.T) {
	s, err := equilibrium.New(2, [][]float64{{1, 0}, {0, 1}}, [][]float64{{-3, 1}})
	require.NoError(t, err)
	w, r := s.NewWorkspace(), new(equilibrium.Result)
	require.NoError(t, w.Solve(&equilibrium.Conditions{LnK: []float64{0, 0}, LnKs: []float64{math.Log(1e3)}, Total: []float64{0, 1e-2}}, r))
	require.InEpsilon(t, 3*r.Solid[0], r.C[0], 1e-12)
	require.InEpsilon(t, 1e3, r.C[1]/math.Pow(r.C[0], 3), 1e-10)
}

func TestUnbounded(t *testing.T) {
	s, err := equilibrium.New(2, [][]float64{{1, 0}, {0, 1}}, [][]float64{{1, 0}})
	require.NoError(t, err)
	w, r := s.NewWorkspace(), new(equilibrium.Result)
	c := &equilibrium.Conditions{LnK: []float64{0, 0}, LnKs: []float64{-5}, Total: []float64{0, 1}, Held: []bool{true, false}, LnHeld: []float64{-4, 0}}
	require.ErrorIs(t, w.Solve(c, r), equilibrium.ErrUnbounded)
	c.LnHeld[0] = -6
	require.NoError(t, w.Solve(c, r))
	require.InDelta(t, -1, r.Saturation[0], 1e-12)
}

func TestRefusals(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, build := range map[string]func() error{
		"no components":     func() error { _, err := equilibrium.New(0, nil, nil); return err },
		"no species":        func() error { _, err := equilibrium.New(1, nil, nil); return err },
		"ragged":            func() error { _, err := equilibrium.New(2, [][]float64{{1, 0}, {1}}, nil); return err },
		"NaN":               func() error { _, err := equilibrium.New(1, [][]float64{{nan}}, nil); return err },
		"Inf in solid":      func() error { _, err := equilibrium.New(1, [][]float64{{1}}, [][]float64{{inf}}); return err },
		"empty species":     func() error { _, err := equilibrium.New(1, [][]float64{{1}, {0}}, nil); return err },
		"empty solid":       func() error { _, err := equilibrium.New(1, [][]float64{{1}}, [][]float64{{0}}); return err },
		"duplicate species": func() error { _, err := equilibrium.New(2, [][]float64{{1, 0}, {0, 1}, {1, 0}}, nil); return err },
		"duplicate columns": func() error { _, err := equilibrium.New(2, [][]float64{{1, 1}, {2, 2}}, nil); return err },
		"unused component":  func() error { _, err := equilibrium.New(2, [][]float64{{1, 0}, {2, 0}}, nil); return err },
	} {
		require.ErrorIs(t, build(), chem.ErrInput, name)
	}
	s, err := equilibrium.New(2, [][]float64{{1, 0}, {0, 1}, {1, 1}}, [][]float64{{1, 2}})
	require.NoError(t, err)
	good := func() *equilibrium.Conditions {
		return &equilibrium.Conditions{LnK: []float64{0, 0, 5}, LnKs: []float64{-9}, Total: []float64{1e-3, 1e-3}}
	}
	w, r := s.NewWorkspace(), new(equilibrium.Result)
	require.NoError(t, w.Solve(good(), r))
	for name, spoil := range map[string]func(c *equilibrium.Conditions){
		"LnK":    func(c *equilibrium.Conditions) { c.LnK[1] = nan },
		"LnKs":   func(c *equilibrium.Conditions) { c.LnKs[0] = math.Inf(-1) },
		"Total":  func(c *equilibrium.Conditions) { c.Total[1] = inf },
		"Held":   func(c *equilibrium.Conditions) { c.Held = []bool{true} },
		"LnHeld": func(c *equilibrium.Conditions) { c.Held, c.LnHeld = []bool{true, false}, []float64{nan, 0} },
		"short":  func(c *equilibrium.Conditions) { c.Total = c.Total[:1] },
		"long":   func(c *equilibrium.Conditions) { c.LnK = append(c.LnK, 0) },
	} {
		c := good()
		spoil(c)
		err := w.Solve(c, r)
		require.ErrorIs(t, err, chem.ErrInput, name)
		var in *chem.InputError
		require.True(t, errors.As(err, &in), name)
		require.NotEmpty(t, in.Error())
	}
	require.NoError(t, w.Solve(good(), r))
}

// TestWarmAndColdAgree measures what doc.go claims: how far answers from different
// starts differ.
func TestWarmAndColdAgree(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 22))
	bath := newBaths(rng, 20)
	var c equilibrium.Conditions
	worst := 0.0
	for range 3000 {
		p := bath.draw(rng, &c)
		w, v := p.System.NewWorkspace(), p.System.NewWorkspace()
		warm, cold := new(equilibrium.Result), new(equilibrium.Result)
		require.NoError(t, w.Solve(&c, warm))
		for i := range c.Total {
			c.Total[i] *= 1 + 0.1*rng.NormFloat64()
		}
		require.NoError(t, w.SolveFrom(&c, warm))
		require.NoError(t, v.Solve(&c, cold))
		for j, a := range cold.C {
			if a > 1e-25 {
				worst = max(worst, math.Abs(warm.C[j]/a-1))
			}
		}
	}
	t.Logf("warm and cold differ by %.1e at most", worst)
	require.Less(t, worst, 1e-10)
}
