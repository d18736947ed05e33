package equilibrium

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// How the linear problem ends, by hand. H⁺ and OH⁻ of a product Kw are made of nothing,
// to a gain of ln Kw less twice the level: without end at 1 mol/L where Kw exceeds 1, and
// at the level where a search for an end is given up where Kw is the square of that. What
// no species holds is told by its balance.
func TestEndsOfTheLinearProblem(t *testing.T) {
	s, err := New(2, [][]float64{{1, 0}, {-1, 0}, {0, 1}}, nil)
	require.NoError(t, err)
	posed := func(lnKw float64, total ...float64) *Workspace {
		w := s.NewWorkspace()
		_, err := w.prepare(&Conditions{LnK: []float64{0, lnKw, 0}, Total: total}, 0, new(Result))
		require.NoError(t, err)
		w.medium = nil
		w.clear()
		return w
	}
	for _, lnKw := range []float64{-32, -1, 1, 12} {
		w := posed(lnKw, 0, 1)
		want := met
		if lnKw > 0 {
			want = unbounded
		}
		assert.Equal(t, want, w.simplex(0), "ln Kw %g at 1 mol/L", lnKw)
		assert.Equal(t, met, posed(lnKw, 0, 1).tropical(), "ln Kw %g", lnKw)
	}
	assert.Equal(t, unbounded, posed(2*math.Log(crowded)+30, 0, 1).tropical())

	bound, err := New(2, [][]float64{{1, 1}, {1, 2}}, nil) // at most two of the second for one of the first
	require.NoError(t, err)
	for _, x := range []struct {
		second float64
		met    bool
	}{{0.5e-3, false}, {1.5e-3, true}, {2.5e-3, false}} {
		w := bound.NewWorkspace()
		_, err := w.prepare(&Conditions{LnK: []float64{0, 0}, Total: []float64{1e-3, x.second}}, 0, new(Result))
		require.NoError(t, err)
		w.medium = nil
		w.clear()
		assert.Equal(t, x.met, w.tropical() == met, "%g", x.second)
	}
}
