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
