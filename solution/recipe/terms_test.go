package recipe_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

// The terms of a bath by arithmetic: 12 for 20 L that take 80 g are 0.6 for a litre, 4 g in a
// litre, 150 for a kilogram and, of a layer of 50 g/m², 7.5 for a square metre.
func TestTermsByHand(t *testing.T) {
	l := rust.Layer{RustGramsPerM2: tables.Range{Low: 30, Typical: 50, High: 90}}
	got, err := recipe.TermsOf(12, 20*measure.Litre, 80*measure.Gram, l)
	require.NoError(t, err)
	assert.InEpsilon(t, 0.6, got.PerLitre, 1e-12)
	assert.InEpsilon(t, 4, got.RustGramsPerLitre, 1e-12)
	assert.InEpsilon(t, 150, got.PerKgRust, 1e-12)
	assert.InEpsilon(t, 7.5, got.PerM2, 1e-12)
	l.RustGramsPerM2.Typical = math.NaN()
	_, err = recipe.TermsOf(12, 20*measure.Litre, 80*measure.Gram, l)
	require.ErrorIs(t, err, chem.ErrInput)
}

// A tub without height, or below none, holds nothing and has no surface; one of straight walls
// holds length times width times depth, up to its rim.
func TestTubsOfNoHeight(t *testing.T) {
	box := recipe.Tub{Bottom: [2]unit.Length{0.4, 0.5}, Rim: [2]unit.Length{0.4, 0.5}, Height: 0.3}
	for depth, want := range map[unit.Length]float64{-1: 0, 0: 0, 0.1: 0.02, 0.3: 0.06, 0.4: 0.06} {
		assert.InDelta(t, want, float64(box.Volume(depth)), 1e-12)
		assert.InDelta(t, 0.2, float64(box.Surface(depth)), 1e-12)
	}
	for _, height := range []unit.Length{0, -0.1} {
		box.Height = height
		assert.Zero(t, box.Volume(0.1))
		assert.Zero(t, box.Surface(0.1))
	}
}

// The ranges of a plan are those of its forecast, about its own figures; and later portions
// are the fewest grams that move the pH by half a unit at the points of the curve between where
// the first has taken it and the target, in spoons.
func TestRangesAndPortionsOfAPlan(t *testing.T) {
	for _, amount := range []string{"500 g", "3 cups"} {
		for _, pH := range []float64{6, 7, 8, 8.5, 9} {
			r := demo.Recipe(t)
			r.PH = pH
			a, err := measure.ParseAmount(amount)
			require.NoError(t, err)
			r.Amount = a
			p, err := r.Plan(demo.Tables(t))
			require.NoError(t, err)
			for _, x := range [][3]float64{
				{p.Acid.MassLowGrams, p.Forecast.DoseGrams.Low, p.Acid.MassGrams}, {-p.Acid.MassHighGrams, -p.Forecast.DoseGrams.High, -p.Acid.MassGrams},
				{p.PHBefore.Low, p.Forecast.PH.Low, p.PHBefore.Typical}, {-p.PHBefore.High, -p.Forecast.PH.High, -p.PHBefore.Typical},
			} {
				assert.InDelta(t, min(x[1], x[2]), x[0], 1e-12)
				assert.Less(t, x[0], x[2], "%s to %g", amount, pH)
			}
			if len(p.Steps) < 2 {
				continue
			}
			from, fewest := p.Steps[0].PHTo, p.Acid.MassGrams-p.Steps[0].Portion.MassGrams
			for _, c := range p.Curve[1:] {
				if pH-0.25 < c.PH && c.PH < from+0.25 {
					fewest = min(fewest, c.GramsPerHalfPH)
				}
			}
			size := p.Steps[1].Portion.MassGrams
			assert.LessOrEqual(t, size, 1.05*fewest*(1+1e-9), "%s to %g", amount, pH)
			assert.Greater(t, size, 0.7*fewest, "%s to %g", amount, pH)
		}
	}
}

// What costs no number is refused, and no sum is written to more decimals than money has.
func TestPricesAreNumbers(t *testing.T) {
	salt := demo.Reagent(t, "tetrasodium EDTA")
	for _, p := range []recipe.Price{{}, {Money: -1, Per: measure.AmountOfMass(1)}, {Money: math.NaN(), Per: measure.AmountOfMass(1)}} {
		_, err := recipe.CompareBags(salt, p)
		require.ErrorIs(t, err, chem.ErrInput, "%v", p)
	}
	assert.Equal(t, "£1.000000", recipe.Money(1, math.MaxInt, "£"))
	assert.Equal(t, "1", recipe.Money(1, -3, ""))
}
