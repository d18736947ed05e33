package titration_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/solution/titration"
)

// An interval reaches as many standard uncertainties for each estimate of a fit: of a constant
// and an offset up and down, of a concentration, which cannot be below zero, in its logarithm.
func TestIntervalsReachAsFar(t *testing.T) {
	readings := read(t, vinegar(t, 0.0873, 0.1), steps(2, 60, 2), 0.02, 0, 0.01, rand.New(rand.NewPCG(9, 4)))
	for name, how := range map[string]titration.Fitting{"scatter": {}, "known": {Standard: 0.02}} {
		f, err := vinegar(t, 0.08, 0.1).Fit(context.Background(), readings, how, titration.Concentration("Hac"), titration.AcidConstant("Hac"), titration.Offset)
		require.NoError(t, err)
		reach := 1.959964 // of the normal distribution
		if how.Standard == 0 {
			reach = 2.0518 // Student's t with 30 readings less 3 unknowns, handbook tables (from memory)
		}
		require.Len(t, f.Residuals, 30)
		for k, e := range f.Estimates {
			half, sigma := (e.High-e.Low)/2, e.Standard
			if k == 0 {
				half, sigma = math.Log(e.High/e.Low)/2, e.Standard/e.Value
				assert.InEpsilon(t, math.Sqrt(e.Low*e.High), e.Value, 1e-9)
			} else {
				assert.InDelta(t, (e.Low+e.High)/2, e.Value, 1e-9)
			}
			assert.InEpsilon(t, reach, half/sigma, 1e-4, "%s: %v", name, e)
		}
	}
}
