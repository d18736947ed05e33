package recipe_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/recipe"
)

func planned(t *testing.T, chelant string, litres, grams, ph float64) *recipe.Plan {
	tb := demo.Tables(t)
	tap, err := tb.Water("moderately hard tap water")
	require.NoError(t, err)
	p, err := recipe.Recipe{Water: tap, Volume: unit.Volume(litres / 1000), Temperature: chem.Celsius(20),
		Chelant: demo.Reagent(t, chelant), Amount: measure.AmountOfMass(unit.Mass(grams / 1000)), Acid: demo.Reagent(t, "citric acid"), PH: ph}.Plan(tb)
	require.NoError(t, err)
	return p
}

// From a cupful to a drum, and where the dose is smaller than any spoon: the
// portions are positive and add up to the dose within one of the last.
func TestStepsAddUp(t *testing.T) {
	for _, c := range []struct {
		chelant           string
		litres, grams, ph float64
	}{
		{"tetrasodium EDTA tetrahydrate", 20, 500, 7},
		{"tetrasodium EDTA tetrahydrate", 0.25, 5, 7},
		{"tetrasodium EDTA tetrahydrate", 200, 6000, 6.5},
		{"tetrasodium EDTA tetrahydrate", 20, 500, 11},
		{"trisodium EDTA", 20, 500, 7},
		{"trisodium citrate", 20, 50, 7},
		{"trisodium citrate", 1, 1, 7.3},
	} {
		p := planned(t, c.chelant, c.litres, c.grams, c.ph)
		sum, last := 0.0, 0.0
		for _, s := range p.Steps {
			assert.Positive(t, s.Portion.MassGrams, "%+v", c)
			assert.Positive(t, s.Times)
			last = s.Portion.MassGrams
			sum += last * float64(s.Times)
		}
		dose := p.Acid.MassGrams
		assert.InDelta(t, dose, sum, max(0.55*last, 0.06*dose), "%+v", c)
		assert.LessOrEqual(t, p.Acid.MassLowGrams, dose)
		assert.GreaterOrEqual(t, p.Acid.MassHighGrams, dose)
	}
}

// The ranges of the plan are those of the forecast, whose causes say what to
// weigh or to test; a chelant other than EDTA has no forecast.
func TestForecastOfThePlan(t *testing.T) {
	p := planned(t, "tetrasodium EDTA tetrahydrate", 20, 500, 7)
	require.NotNil(t, p.Forecast)
	assert.InDelta(t, p.Forecast.DoseGrams.Low, p.Acid.MassLowGrams, 1e-9)
	assert.InDelta(t, p.Forecast.PH.High, p.PHBefore.High, 1e-9)
	assert.InDelta(t, p.Iron.IronMoles, p.Forecast.IronMoles.Typical, 0.02*p.Iron.IronMoles, "two ways to count the iron")
	assert.NotEmpty(t, p.Forecast.DoseGrams.Causes)
	assert.Nil(t, p.Forecast.Cost, "without prices")
	data, err := json.Marshal(p)
	require.NoError(t, err)
	assert.Contains(t, string(data), `"forecast":{"ph":{"low":`)
	assert.NotNil(t, planned(t, "trisodium citrate", 20, 500, 7).Forecast)
}

// What a plan says survives a round trip through JSON.
func TestPlanThroughJSON(t *testing.T) {
	p := planned(t, "tetrasodium EDTA tetrahydrate", 20, 500, 7)
	data, err := json.Marshal(p)
	require.NoError(t, err)
	var again recipe.Plan
	require.NoError(t, json.Unmarshal(data, &again))
	assert.Equal(t, p, &again)
}
