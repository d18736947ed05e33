package equilibrium

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A and its dimer of K = 1, by hand: a + 2 a² = T, beside a salt B that has settled or
// has not. At the answer the proof holds where the dimer is beyond what water holds, and
// not where it is within; from anywhere else it never holds where it is within. Counted
// by what the solid leaves, neither depends on it.
func TestOverfullIsAProof(t *testing.T) {
	s, err := New(2, [][]float64{{1, 0}, {0, 1}, {2, 0}, {1, 1}}, [][]float64{{0, 1}})
	require.NoError(t, err)
	stands := func(total, b, off, aside float64, solid bool) bool {
		const ks, pair = 1e-3, 1e-9 // mol/L, L/mol
		a := (math.Sqrt(1+8*total) - 1) / 4
		free := b
		if solid {
			free = ks
		}
		c := &Conditions{LnK: []float64{0, 0, 0, math.Log(pair)}, LnKs: []float64{math.Log(ks)}, Total: []float64{a + 2*a*a + pair*a*free, b + pair*a*free}}
		w := s.NewWorkspace()
		_, err := w.prepare(c, 0, new(Result))
		require.NoError(t, err)
		w.medium = nil
		w.clear()
		w.x[w.place(t, 0)], w.x[w.place(t, 1)] = math.Log(a)+off, math.Log(free)+aside
		if solid {
			w.active = append(w.active, 0)
			w.m[0] = b - free
			w.enter(false)
		}
		w.evaluate()
		w.enter(true)
		w.retotal()
		w.evaluate()
		w.imbalance()
		return w.overfull()
	}
	for _, solid := range []bool{false, true} {
		b := 1e-4
		if solid {
			b = 0.1
		}
		for _, total := range []float64{10, 500, 1900, 2100, 5000, 1e5} {
			a := (math.Sqrt(1+8*total) - 1) / 4
			assert.Equal(t, a*a > crowded, stands(total, b, 0, 0, solid), "%g mol/L at the answer, solid %t", total, solid)
			for _, aside := range []float64{-0.1, -1e-9, 1e-9, 0.1} {
				assert.False(t, solid && stands(total, b, 0, aside, true), "a solid away from its saturation proves nothing")
			}
			for off := -3.0; off < 3; off += 0.05 {
				if stands(total, b, off, 0, solid) {
					assert.Greater(t, a*a, crowded, "%g mol/L from %g away, solid %t", total, off, solid)
				}
			}
		}
	}
}

// place returns which unknown a component is.
func (w *Workspace) place(t *testing.T, component int) int {
	for i, k := range w.p.comp {
		if int(k) == component {
			return i
		}
	}
	t.Fatal("no such component")
	return 0
}
