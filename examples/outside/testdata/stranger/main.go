// A program of somebody else: it imports the library and prints a dose.
package main

import (
	"fmt"
	"log"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/tables"
)

func main() {
	t, err := tables.Standard()
	if err != nil {
		log.Fatal(err)
	}
	tap, err := t.Water("hard tap water")
	if err != nil {
		log.Fatal(err)
	}
	salt, err := t.Reagent("disodium EDTA")
	if err != nil {
		log.Fatal(err)
	}
	soda, err := t.Reagent("washing soda")
	if err != nil {
		log.Fatal(err)
	}
	plan, err := recipe.Recipe{
		Water: tap, Volume: unit.Volume(0.010), Temperature: chem.Celsius(15),
		Chelant: salt, Amount: measure.AmountOfMass(0.3), Acid: soda, PH: 7,
	}.Plan(t)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.6g g of %s\n", plan.Acid.MassGrams, plan.Acid.Name)
}
