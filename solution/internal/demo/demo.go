// Package demo is the bath of the neighbourhood tool library, invented, for the tests of all rooms:
// 500 g of tetrasodium EDTA in 20 litres of tap water, brought to pH 7 with citric acid.
package demo

import (
	"errors"
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

func must[T any](x T, err error) T {
	if err != nil {
		panic(err)
	}
	return x
}

// Tables returns the standard tables.
func Tables(testing.TB) *tables.Tables { return must(tables.Standard()) }

// Reagent returns a reagent of the tables.
func Reagent(t testing.TB, name string) tables.Reagent { return must(Tables(t).Reagent(name)) }

// Oxide returns an oxide of the tables.
func Oxide(t testing.TB, name string) bath.Oxide { return must(bath.FindOxide(Tables(t), name)) }

// Mix mixes a recipe.
func Mix(t testing.TB, r recipe.Recipe) *bath.Bath { return must(r.Mix(Tables(t))) }

// Recipe returns the recipe of the tool library.
func Recipe(t testing.TB) recipe.Recipe {
	return recipe.Recipe{
		Water: must(Tables(t).Water("moderately hard tap water")), Volume: 20 * measure.Litre, Temperature: chem.Celsius(20),
		Chelant: Reagent(t, "tetrasodium EDTA tetrahydrate"), Amount: measure.AmountOfMass(500 * measure.Gram), Acid: Reagent(t, "citric acid"), PH: 7,
	}
}

// Library returns the tables, the recipe and the oxide of fresh rust, for examples.
func Library() (recipe.Recipe, *tables.Tables, bath.Oxide) {
	return Recipe(nil), Tables(nil), Oxide(nil, "lepidocrocite")
}

// Pure returns a litre of pure water at 25 °C with moles of Na4(edta), brought to a pH if a reagent
// is named.
func Pure(t testing.TB, std *tables.Tables, edta, pH float64, reagent string) *bath.Bath {
	t.Helper()
	v := must(solution.New(std, chem.Celsius(25)))
	salt := unit.Mole(edta)
	require.NoError(t, errors.Join(v.AddPureWater(measure.Litre), v.AddSpecies("edta4-", salt), v.AddSpecies("Na+", 4*salt)))
	if reagent != "" {
		must(v.Bring(must(std.Reagent(reagent)), solution.PH(pH)))
	}
	return must(bath.New(std, v))
}
