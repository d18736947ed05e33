// Package demo is the bath of the neighbourhood tool library, invented, for the
// tests of all rooms: 500 g of tetrasodium EDTA in 20 litres of tap water, brought
// to pH 7 with citric acid.
package demo

import (
	"log"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/tables"
)

// Tables returns the standard tables.
func Tables(t testing.TB) *tables.Tables {
	t.Helper()
	std, err := tables.Standard()
	require.NoError(t, err)
	return std
}

// Reagent returns a reagent of the tables.
func Reagent(t testing.TB, name string) tables.Reagent {
	t.Helper()
	r, err := Tables(t).Reagent(name)
	require.NoError(t, err)
	return r
}

// Oxide returns an oxide of the tables.
func Oxide(t testing.TB, name string) bath.Oxide {
	t.Helper()
	o, err := bath.FindOxide(Tables(t), name)
	require.NoError(t, err)
	return o
}

// Recipe returns the recipe of the tool library.
func Recipe(t testing.TB) recipe.Recipe {
	t.Helper()
	r, _, _ := Library()
	return r
}

// Mix mixes a recipe.
func Mix(t testing.TB, r recipe.Recipe) *bath.Bath {
	t.Helper()
	b, err := r.Mix(Tables(t))
	require.NoError(t, err)
	return b
}

// Pure returns a litre of pure water at 25 °C with moles of Na4(edta), brought to a
// pH with a reagent unless that has no name.
func Pure(t testing.TB, std *tables.Tables, edta, pH float64, reagent string) *bath.Bath {
	t.Helper()
	v, err := solution.New(std, chem.Celsius(25))
	require.NoError(t, err)
	require.NoError(t, v.AddPureWater(measure.Litre))
	require.NoError(t, v.AddSpecies("edta4-", unit.Mole(edta)))
	require.NoError(t, v.AddSpecies("Na+", unit.Mole(4*edta)))
	if reagent != "" {
		r, err := std.Reagent(reagent)
		require.NoError(t, err)
		d, err := v.Dose(r, solution.PH(pH))
		require.NoError(t, err)
		require.NoError(t, v.Add(r, d.Mass()))
	}
	b, err := bath.New(std, v)
	require.NoError(t, err)
	return b
}

// Library returns the tables, the recipe and the oxide of fresh rust, for examples.
func Library() (recipe.Recipe, *tables.Tables, bath.Oxide) {
	t, err := tables.Standard()
	if err != nil {
		log.Fatal(err)
	}
	tap, _ := t.Water("moderately hard tap water")
	salt, _ := t.Reagent("tetrasodium EDTA tetrahydrate")
	acid, _ := t.Reagent("citric acid")
	oxide, err := bath.FindOxide(t, "lepidocrocite")
	if err != nil {
		log.Fatal(err)
	}
	return recipe.Recipe{
		Water: tap, Volume: 20 * measure.Litre, Temperature: chem.Celsius(20),
		Chelant: salt, Amount: measure.AmountOfMass(500 * measure.Gram), Acid: acid, PH: 7,
	}, t, oxide
}
