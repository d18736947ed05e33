package main

import (
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/tables"
)

// demo is the tub of the neighbourhood tool library.
func demo(t *tables.Tables) (recipe.Recipe, error) {
	tap, err := t.Water("moderately hard tap water")
	if err != nil {
		return recipe.Recipe{}, err
	}
	salt, err := t.Reagent("tetrasodium EDTA tetrahydrate")
	if err != nil {
		return recipe.Recipe{}, err
	}
	acid, err := t.Reagent("citric acid, anhydrous")
	if err != nil {
		return recipe.Recipe{}, err
	}
	return recipe.Recipe{
		Water: tap, Volume: unit.Volume(0.020), Temperature: chem.Celsius(20),
		Chelant: salt, Amount: measure.AmountOfMass(0.5), Acid: acid, PH: 7,
	}, nil
}

const demoConditions = "500 g of tetrasodium EDTA in 20 L of moderately hard tap water at 20 °C"
