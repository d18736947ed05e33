// A program of somebody else: it brings rows for a chelant and a metal that the
// tables lack, and asks of the chelant what it would ask of EDTA.
package main

import (
	"embed"
	"fmt"
	"io/fs"
	"log"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/tables"
)

//go:embed data
var data embed.FS

func main() {
	rows, err := fs.Sub(data, "data")
	check(err)
	standard, err := tables.Standard()
	check(err)
	t, err := standard.With(rows)
	check(err)

	k, err := t.Constant("Fe(edta)- + dsc4- = Fe(dsc)- + edta4-")
	check(err)
	fmt.Printf("EDTA to disulfocatecholate: log K %.1f\n", k.Log10K(chem.Celsius(25), 0.1))

	tap, err := t.Water("hard tap water")
	check(err)
	chelant, err := t.Reagent("disulfocatechol-disodium")
	check(err)
	base, err := t.Reagent("lye")
	check(err)
	r := recipe.Recipe{
		Water: tap, Volume: unit.Volume(0.020), Temperature: chem.Celsius(20),
		Chelant: chelant, Amount: measure.AmountOfMass(0.7), Acid: base, PH: 7,
	}
	plan, err := r.Plan(t)
	check(err)
	fmt.Printf("plan: %.3g g of %s to pH %g\n", plan.Acid.MassGrams, plan.Acid.Name, r.PH)

	tub, err := r.Mix(t)
	check(err)
	fresh, err := bath.FindOxide(t, "ferrihydrite")
	check(err)
	holdings, err := tub.Holdings()
	check(err)
	for _, h := range holdings.Counted() {
		fmt.Printf("%s: %.3g mol, %.1g of it with hardness\n", h.Chelant, h.TotalMoles, h.HardnessMoles)
	}
	takes, err := tub.Held(fresh, 7)
	check(err)
	fmt.Printf("held at pH 7 it takes %.3g g of iron\n", takes.IronGrams)
	acid, err := t.Reagent("citric acid")
	check(err)
	d, err := tub.Diagnose(fresh, 7, acid)
	check(err)
	fmt.Printf("diagnosis: %s\n", d.Cause)

	v, err := solution.New(t, chem.Celsius(20))
	check(err)
	check(v.AddPureWater(measure.Litre))
	for _, name := range []string{"Fe3+", "chromous", "edta4-"} {
		check(v.AddSpecies(name, 0.005))
	}
	check(v.AddSpecies("dsc4-", 0.02))
	check(v.HoldPH(7))
	st, err := v.Equilibrate()
	check(err)
	for _, component := range []string{"Fe3+", "Cr2+"} {
		forms, err := st.Distribution(component)
		check(err)
		for _, f := range forms[:2] {
			fmt.Printf("%s in %-12v %5.1f %%\n", component, f.Species, 100*f.Value)
		}
	}
}

func check(err error) {
	if err != nil {
		log.Fatal(err)
	}
}
