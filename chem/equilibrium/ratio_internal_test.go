package equilibrium

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
)

// ln p/n is exact to the last places wherever the two are, beside log1p of their
// relative difference.
func TestRatioToTheLastPlaces(t *testing.T) {
	for d := 1e-16; d < 10; d *= 1.3 {
		for _, n := range []float64{1, 3e-7, 2e11} {
			p := n + n*d
			want := math.Log1p((p - n) / n)
			assert.InDelta(t, want, ratio(p, n), 2e-15*want, "%g", d)
			assert.InDelta(t, -want, ratio(n, p), 2e-15*want, "%g", d)
		}
	}
}

// exp is e^v to the last places on either side of every bound that it sets itself.
func TestExpToTheLastPlaces(t *testing.T) {
	for a := 1e-12; a < 3; a *= 1.05 {
		for _, v := range []float64{a, -a} {
			assert.InEpsilon(t, math.Exp(v), exp(v), 3e-16, "%g", v)
		}
	}
}

// A refusal names the number that it is about, the first one too.
func TestRefusalNamesTheNumber(t *testing.T) {
	s, err := New(1, [][]float64{{1}, {2}}, nil)
	require.NoError(t, err)
	for _, i := range []int{0, 1} {
		c := &Conditions{LnK: []float64{0, 0}, Total: []float64{1}}
		c.LnK[i] = math.NaN()
		var in *chem.InputError
		require.True(t, errors.As(s.NewWorkspace().Solve(c, new(Result)), &in))
		assert.Equal(t, []string{"LnK[0]", "LnK[1]"}[i], in.Field)
	}
}

// A balance says nothing where the species on both its sides are scarcer than 1e-290 mol/L, and
// is off by ln p/n wherever one of them is not.
func TestBalanceOfWhatVanishes(t *testing.T) {
	s, err := New(1, [][]float64{{1}, {-1}}, nil)
	require.NoError(t, err)
	w := s.NewWorkspace()
	_, err = w.prepare(&Conditions{LnK: []float64{0, -32}, Total: []float64{0}}, 0, new(Result))
	require.NoError(t, err)
	w.clear()
	for _, x := range []struct{ p, n, off float64 }{
		{1e-280, 1e-295, 15 * math.Ln10}, {1e-295, 1e-280, -15 * math.Ln10}, {3e-280, 1e-280, math.Log(3)}, {3e-295, 1e-295, 0}, {1e-300, 1e-291, 0},
	} {
		w.side[0], w.side[1] = x.p, x.n
		assert.InDelta(t, math.Abs(x.off), w.imbalance(), 1e-12)
		assert.InDelta(t, x.off, w.f[0], 1e-12)
	}
}
