package equilibrium

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/floats"

	"example.com/chelation/chem"
)

// settings are the situations that the derivatives are checked in.
func settings(t testing.TB) map[string]func() (*bath, *Conditions, *Medium) {
	plain := func(solids bool, hold int, medium, activity bool) func() (*bath, *Conditions, *Medium) {
		return func() (*bath, *Conditions, *Medium) {
			b := newBath(t)
			c := &Conditions{LnK: b.lnK, LnKs: b.off, Total: b.total}
			if solids {
				c.LnKs = b.lnKs
				c.Total[b.H] = -0.15
			}
			if hold >= 0 {
				c.Held, c.LnHeld = make([]bool, len(c.Total)), make([]float64, len(c.Total))
				c.Held[hold], c.LnHeld[hold] = true, -8*math.Ln10
			}
			if !medium {
				return b, c, nil
			}
			copy(b.medium.LnKs0, c.LnKs)
			for j := range b.medium.DEps {
				b.medium.DEps[j] = 0.02 * float64(j%5-2)
			}
			if !activity {
				clear(b.medium.CompZ2)
				clear(b.medium.CompEps)
			}
			return b, c, &b.medium
		}
	}
	return map[string]func() (*bath, *Conditions, *Medium){
		"plain":           plain(false, -1, false, false),
		"solid":           plain(true, -1, false, false),
		"held":            plain(false, 0, false, false),
		"solid, held":     plain(true, 0, false, false),
		"medium":          plain(false, -1, true, false),
		"medium, solid":   plain(true, -1, true, false),
		"medium, held":    plain(false, 0, true, false),
		"medium, held, a": plain(true, 0, true, true),
	}
}

// product is that of two vectors in which no slice stands for zeros.
func product(a, b []float64) float64 {
	n := min(len(a), len(b))
	return floats.Dot(a[:n], b[:n])
}

// solveIn solves in a medium, or without one.
func solveIn(w *Workspace, m *Medium, c *Conditions, r *Result) error {
	c.Medium = m
	return w.Solve(c, r)
}

func solveFromIn(w *Workspace, m *Medium, c *Conditions, r *Result) error {
	c.Medium = m
	return w.SolveFrom(c, r)
}

// TestDerivatives compares Respond with sixth-order central differences, and
// Gradient with Respond.
func TestDerivatives(t *testing.T) {
	for name, set := range settings(t) {
		t.Run(name, func(t *testing.T) {
			b, c, m := set()
			s := b.sys
			w, r := s.NewWorkspace(), new(Result)
			lnK, lnKs := c.LnK, c.LnKs
			if m != nil {
				lnK, lnKs = m.LnK0, m.LnKs0
			}
			require.NoError(t, solveIn(w, m, c, r))
			base := *r
			base.Solid = append([]float64(nil), r.Solid...)
			type input struct {
				name   string
				at     *float64
				step   float64
				change Change
			}
			var inputs []input
			unit := func(n, i int) []float64 { v := make([]float64, n); v[i] = 1; return v }
			for i := range c.Total {
				if c.Held != nil && c.Held[i] {
					inputs = append(inputs, input{"LnHeld", &c.LnHeld[i], 0.03, Change{LnHeld: unit(len(c.Total), i)}})
				} else {
					inputs = append(inputs, input{"Total", &c.Total[i], 0.004 * math.Abs(c.Total[i]), Change{Total: unit(len(c.Total), i)}})
				}
			}
			for j := range lnK {
				if j%3 == 0 || base.C[j] > 1e-3 {
					inputs = append(inputs, input{"LnK", &lnK[j], 0.03, Change{LnK: unit(len(lnK), j)}})
				}
			}
			for k := range lnKs {
				if !math.IsInf(lnKs[k], 1) {
					inputs = append(inputs, input{"LnKs", &lnKs[k], 0.03, Change{LnKs: unit(len(lnKs), k)}})
				}
			}
			flat := func(r *Result) []float64 {
				v := append([]float64(nil), r.LnC...)
				v = append(v, r.C...)
				v = append(v, r.Solid...)
				return append(v, r.Ionic)
			}
			rng := rand.New(rand.NewPCG(3, 4))
			worst := 0.0
			other := s.NewWorkspace()
			for _, in := range inputs {
				out := new(Response)
				require.NoError(t, w.Respond(&in.change, out))
				got := flat(&Result{LnC: out.LnC, C: out.C, Solid: out.Solid, Ionic: out.Ionic})
				want := make([]float64, len(got))
				q := new(Result)
				x := *in.at
				for _, p := range []struct{ k, f float64 }{{1, 45. / 60}, {2, -9. / 60}, {3, 1. / 60}} {
					for _, sign := range []float64{1, -1} {
						*in.at = x + sign*p.k*in.step
						require.NoError(t, solveIn(other, m, c, q))
						for i, v := range flat(q) {
							want[i] += sign * p.f * v / in.step
						}
					}
				}
				*in.at = x
				for i, f := range flat(r) {
					rounding := 1e-13 * max(math.Abs(f), 1e-12) / in.step // of the difference
					worst = max(worst, (math.Abs(got[i]-want[i])-rounding)/math.Abs(want[i]))
					require.InDelta(t, want[i], got[i], 1e-6*math.Abs(want[i])+rounding, "%s, output %d", in.name, i)
				}
				// transpose
				weight := &Response{LnC: make([]float64, s.components), C: make([]float64, s.species.len()), Solid: make([]float64, s.solids.len())}
				for _, v := range [][]float64{weight.LnC, weight.C, weight.Solid} {
					for i := range v {
						v[i] = rng.NormFloat64()
					}
				}
				weight.Ionic = rng.NormFloat64()
				g := new(Change)
				require.NoError(t, w.Gradient(weight, g))
				left := product(weight.LnC, out.LnC) + product(weight.C, out.C) + product(weight.Solid, out.Solid) + weight.Ionic*out.Ionic
				right := product(in.change.Total, g.Total) + product(in.change.LnK, g.LnK) + product(in.change.LnKs, g.LnKs) + product(in.change.LnHeld, g.LnHeld)
				require.InDelta(t, left, right, 1e-8*(1+math.Abs(left)), in.name)
			}
			t.Logf("%d inputs, largest deviation %.1e", len(inputs), worst)
		})
	}
}

// TestRespondToBase: a weak acid at its half-equivalence has β = ln10·C/4 + the
// terms of water (Van Slyke 1922, J. Biol. Chem. 52, 525).
func TestRespondToBase(t *testing.T) {
	s, err := New(2, [][]float64{{1, 0}, {0, 1}, {-1, 0}, {1, 1}}, nil)
	require.NoError(t, err)
	w, r := s.NewWorkspace(), new(Result)
	base, out := &Change{Total: []float64{-1, 0}}, new(Response)
	require.ErrorIs(t, w.Respond(base, out), chem.ErrInput)
	c := &Conditions{LnK: []float64{0, 0, -14 * math.Ln10, 4.75 * math.Ln10}, Total: []float64{0.05, 0.1}}
	require.NoError(t, w.Solve(c, r))
	require.NoError(t, w.Respond(base, out))
	alpha := r.C[3] / 0.1
	want := math.Ln10 * (0.1*alpha*(1-alpha) + r.C[0] + r.C[2])
	require.InEpsilon(t, want, -math.Ln10/out.LnC[0], 1e-12)
	require.ErrorIs(t, w.Respond(&Change{Total: []float64{1}}, out), chem.ErrInput)
}

// TestGradientPropagates compares first-order propagation with 10 000 random draws,
// small enough for the first order to hold, through the loop on I.
func TestGradientPropagates(t *testing.T) {
	const draws = 10000
	b := newBath(t)
	m := b.medium
	copy(m.LnKs0, b.off)
	c := &Conditions{Total: b.total}
	s := b.sys
	w, r := s.NewWorkspace(), new(Result)
	require.NoError(t, solveIn(w, &m, c, r))
	sigma := &Change{Total: make([]float64, s.components), LnK: make([]float64, s.species.len())}
	for i, v := range c.Total {
		sigma.Total[i] = 0.002 * v
	}
	for j, v := range m.LnK0 {
		if v != 0 { // that of a component by itself is exact
			sigma.LnK[j] = 0.01 * math.Ln10
		}
	}
	weight := &Response{LnC: make([]float64, s.components)}
	weight.LnC[b.H] = -1 / math.Ln10
	g := new(Change)
	require.NoError(t, w.Gradient(weight, g))
	first := 0.0
	for i, s := range slices.Concat(sigma.Total, sigma.LnK) {
		first = math.Hypot(first, s*slices.Concat(g.Total, g.LnK)[i])
	}
	rng := rand.New(rand.NewPCG(5, 6))
	lnK0 := append([]float64(nil), m.LnK0...)
	total := append([]float64(nil), c.Total...)
	m.LnK0, c.Total = append([]float64(nil), lnK0...), append([]float64(nil), total...)
	var sum, square float64
	for range draws {
		for j := range lnK0 {
			m.LnK0[j] = lnK0[j] + sigma.LnK[j]*rng.NormFloat64()
		}
		for i := range total {
			c.Total[i] = total[i] + sigma.Total[i]*rng.NormFloat64()
		}
		require.NoError(t, solveFromIn(w, &m, c, r))
		p := -r.LnC[b.H] / math.Ln10
		sum += p
		square += p * p
	}
	mean := sum / draws
	drawn := math.Sqrt((square - draws*mean*mean) / (draws - 1))
	t.Logf("pcH %.4f: first order ±%.5f, drawn ±%.5f", mean, first, drawn)
	// a sampled standard deviation scatters by 1/√(2N); four of these
	require.InEpsilon(t, drawn, first, 4/math.Sqrt(2*draws))
}
