package path_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
)

// Before the burette is opened the curve has the slope with which it begins, be it by what the
// vessel has none of yet: by hand, c mol/L of a chelant at pH 10 over 0.1 L with m mol/L of a metal that it
// binds at once moves pM by (1 + c/m)/0.1/ln 10 a litre. The shorter way to the slope of pH is the same slope.
func TestSlopeBeforeTheFirstDrop(t *testing.T) {
	const c, m = 0.02, 0.01
	chelant := vessel(t, chem.Celsius(5), 1, map[string]float64{"Na+": 2 * c, "H2edta2-": c})
	all := pairs(t)
	all["chelant"] = [2]*solution.Solution{all["held"][0], chelant}
	for name, two := range all {
		p, _ := pour(t, two)
		slopes := func(litres float64) (out []float64) {
			require.NoError(t, p.At(litres), name)
			for i := range p.Members {
				slope, _, err := p.Motion(i)
				require.NoError(t, err, name)
				out = append(out, slope)
			}
			pH, err := p.PHPerLitre()
			require.NoError(t, err, name)
			require.InDelta(t, out[0], pH, 1e-9*(1+math.Abs(pH)), name)
			return out
		}
		first, next := slopes(0), slopes(1e-8)
		for i := range first {
			if p.Start[i] != 0 {
				assert.InDelta(t, next[i], first[i], 1e-4*(1+math.Abs(next[i])), "%s: component %d", name, i)
			}
		}
		if name == "chelant" {
			calcium, err := p.Component("Ca2+")
			require.NoError(t, err)
			assert.InEpsilon(t, (1+c/m)/0.1/math.Ln10, first[calcium], 0.02, "but for pairs and activities")
		}
	}
}

// A thousand million litres can be poured and no more; a path that stands nowhere has no slope.
func TestHowMuchIsPoured(t *testing.T) {
	p, _ := pour(t, pairs(t)["held"])
	_, err := p.PHPerLitre()
	require.ErrorIs(t, err, chem.ErrInput)
	require.NoError(t, p.At(1e9))
	for _, litres := range []float64{-1e-9, 1.000001e9, math.NaN()} {
		require.ErrorIs(t, p.At(litres), chem.ErrInput, "%g", litres)
	}
}
