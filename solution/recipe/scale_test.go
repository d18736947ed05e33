package recipe_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/internal/laws"
	"example.com/chelation/solution/recipe"
)

// A way of mixing comes out in a glass and in a cubic metre as in the tub, in
// proportion: doses, gas that leaves, what it takes and the acid that keeps it.
func TestWaysOfAllSizes(t *testing.T) {
	o := demo.Oxide(t, "lepidocrocite")
	of := func(litres float64) []recipe.Outcome {
		var ways []recipe.Recipe
		for _, place := range []bath.Place{{}, {Cover: bath.Still}} {
			acid := demo.Recipe(t)
			acid.Volume = unit.Volume(litres) * measure.Litre
			acid.Amount = measure.AmountOfMass(unit.Mass(25*litres) * measure.Gram)
			acid.Place = place
			soda := acid
			soda.Chelant, soda.Acid = demo.Reagent(t, "disodium EDTA dihydrate"), demo.Reagent(t, "washing soda")
			ways = append(ways, acid, soda)
		}
		out, err := ways[0].Try(demo.Tables(t), o, ways...)
		require.NoError(t, err)
		return out
	}
	tub := of(20)
	require.Less(t, tub[3].ForGoodGrams, 0.7*tub[3].NowGrams, "the gas of the soda leaves")
	for _, litres := range []float64{0.2, 1000} {
		laws.Extensive(t, tub, of(litres), litres/20, 1e-5, 1)
	}
}
