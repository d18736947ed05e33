package recipe_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/demo"
)

// Portions as they are advised, poured into the bath one by one: none after the first
// moves the pH by more than a step of the curve, half a unit, and what a spoon is coarse
// by; the pH wanted comes with the last and not before, to half of what one moves it by.
func TestPortionsPouredOneByOne(t *testing.T) {
	for _, grams := range []float64{200, 500, 1200} {
		for _, pH := range []float64{6, 6.5, 7, 7.7, 8.2, 8.5} {
			r := demo.Recipe(t)
			r.Amount, r.PH = measure.AmountOfMass(unit.Mass(grams)*measure.Gram), pH
			plan, err := r.Plan(demo.Tables(t))
			require.NoError(t, err)
			b, err := solution.New(demo.Tables(t), r.Temperature)
			require.NoError(t, err)
			require.NoError(t, b.AddWater(r.Water, r.Volume))
			require.NoError(t, b.Add(r.Chelant, unit.Mass(grams)*measure.Gram))
			last := 0.0
			for i, s := range plan.Steps {
				for range s.Times {
					before, err := b.Equilibrate()
					require.NoError(t, err)
					require.NoError(t, b.Add(r.Acid, s.Portion.Mass()))
					after, err := b.Equilibrate()
					require.NoError(t, err)
					if i > 0 {
						assert.Greater(t, before.PH, pH, "there before the last: %g g to pH %g", grams, pH)
						assert.LessOrEqual(t, before.PH-after.PH, 0.55, "%g g to pH %g", grams, pH)
					}
					last = after.PH
				}
			}
			assert.InDelta(t, pH, last, 0.3, "%g g to pH %g: half of a portion at most", grams, pH)
		}
	}
}
