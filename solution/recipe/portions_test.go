package recipe_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
)

// Portions as they are advised, poured into the bath one by one: none after the first
// moves the pH by more than a step of the curve, half a unit, and what a spoon is coarse
// by; the pH wanted comes with the last and not before, to half of what one moves it by.
func TestPortionsPouredOneByOne(t *testing.T) {
	for _, grams := range []float64{2, 200, 500, 1200} { // in 20 L, but for a glass
		for _, pH := range []float64{6, 6.5, 7, 7.7, 8.2, 8.5} {
			r := demo.Recipe(t)
			if grams < 10 {
				r.Volume /= 100
			}
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

// What is expected after each portion is what a vessel shows that has them in and has fizzed:
// a lid lies loose, and bubbles get out under it.
func TestWhatIsExpectedOfPortions(t *testing.T) {
	for _, cover := range []bath.Cover{bath.Lidded, bath.Still} {
		r := demo.Recipe(t)
		r.Chelant, r.Acid, r.Place.Cover = demo.Reagent(t, "disodium EDTA dihydrate"), demo.Reagent(t, "baking soda"), cover
		plan, err := r.Plan(demo.Tables(t))
		require.NoError(t, err)
		b, err := solution.New(demo.Tables(t), r.Temperature)
		require.NoError(t, err)
		require.NoError(t, b.AddWater(r.Water, r.Volume))
		require.NoError(t, b.Add(r.Chelant, 500*measure.Gram))
		for _, s := range plan.Steps {
			require.NoError(t, b.Add(r.Acid, unit.Mass(float64(s.Times))*s.Portion.Mass()))
			shown := b.Clone()
			_, err := shown.Fizz()
			require.NoError(t, err)
			st, err := shown.Equilibrate()
			require.NoError(t, err)
			assert.InDelta(t, st.PH, s.PHTo, 1e-6, cover)
		}
		if cover == bath.Lidded {
			assert.InDelta(t, 7, plan.PHAfter, 0.01, "now")
		}
	}
}

// A jar is brought to its pH as a tub is, the first portion first, though that is less than
// a gram.
func TestFirstPortionOfAJar(t *testing.T) {
	r := demo.Recipe(t)
	tub, err := r.Plan(demo.Tables(t))
	require.NoError(t, err)
	r.Volume, r.Amount = 0.1*measure.Litre, measure.AmountOfMass(2.5*measure.Gram)
	jar, err := r.Plan(demo.Tables(t))
	require.NoError(t, err)
	require.Equal(t, 1, jar.Steps[0].Times)
	require.Contains(t, jar.Steps[0].Text, "Stir in ")
	require.Less(t, jar.Steps[0].Portion.MassGrams, 1.0)
	require.InEpsilon(t, tub.Steps[0].Portion.MassGrams/200, jar.Steps[0].Portion.MassGrams, 0.15, "but for what rounds")
}

// Where nothing holds the pH near the target the portions before it are halves of what is missing,
// so that nobody counts dozens: the acids of the shop's chelants brought up with lye; and with lime,
// of whose calcium the belief knows no range, so that none is told.
func TestPortionsCanBeCounted(t *testing.T) {
	for salt, base := range map[string]string{"citric acid": "lye", "tartaric acid": "lye", "HEDP": "lye", "EDTA acid": "lye", "disodium EDTA": "slaked lime"} {
		r := demo.Recipe(t)
		r.Chelant, r.Acid = demo.Reagent(t, salt), demo.Reagent(t, base)
		p, err := r.Plan(demo.Tables(t))
		require.NoError(t, err)
		require.Equal(t, base == "lye", p.Acid.MassHighGrams > 0, salt)
		require.Contains(t, p.Steps[0].Text, "Stir in ", salt)
		portions, poured := 0, 0.0
		for i, s := range p.Steps {
			portions += s.Times
			poured += float64(s.Times) * s.Portion.MassGrams
			if i > 0 {
				require.Equal(t, p.Steps[i-1].PHTo, s.PHFrom, salt)
			}
		}
		assert.LessOrEqual(t, portions, 18, "%s: %v", salt, p.Steps)
		assert.InDelta(t, p.Acid.MassGrams, poured, p.Steps[len(p.Steps)-1].Portion.MassGrams, salt)
	}
}
