package solution_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/demo"
)

// A dose that goes the other way is told so, and one that stops short how far it comes; more salt
// than water can hold is an input at fault, told in words.
func TestRefusalsSayWhichWay(t *testing.T) {
	v, err := solution.New(demo.Tables(t), chem.Celsius(20))
	require.NoError(t, err)
	require.NoError(t, v.AddPureWater(20*measure.Litre))
	_, err = v.Dose(demo.Reagent(t, "citric acid"), solution.PH(12))
	require.ErrorContains(t, err, "brings it the other way, to ")
	_, err = v.Dose(demo.Reagent(t, "baking soda"), solution.PH(12))
	require.ErrorContains(t, err, "brings it no further than ")

	require.NoError(t, v.AddSpecies("Na+", 1e5))
	_, err = v.Equilibrate()
	var bad *chem.InputError
	require.ErrorAs(t, err, &bad)
	require.Equal(t, "vessel", bad.Field)
}
