package tables_test

import (
	"fmt"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// What iron(III) and EDTA make, and how firmly in a bath at 20 °C and 0.2 mol/L.
func ExampleTables_Between() {
	t, err := tables.Standard()
	if err != nil {
		panic(err)
	}
	all, err := t.Between("ferric", "edta")
	if err != nil {
		panic(err)
	}
	for _, f := range all {
		fmt.Printf("%-20s log β %.1f\n", f.Species, f.Constant.Log10K(chem.Celsius(20), 0.2))
	}
	// Output:
	// FeH(edta)            log β 26.3
	// Fe(edta)-            log β 25.0
	// Fe(OH)(edta)^2-      log β 17.6
	// Fe2(OH)2(edta)2^4-   log β 38.1
}

// The constant of any reaction between species of the tables, with the
// uncertainty of its data: EDTA takes up fresh ferric hydroxide.
func ExampleTables_Constant() {
	t, err := tables.Standard()
	if err != nil {
		panic(err)
	}
	k, err := t.Constant("Fe(OH)3(s, ferrihydrite) + Hedta3- + 2 H+ = Fe(edta)- + 3 H2O")
	if err != nil {
		panic(err)
	}
	fmt.Printf("log K %.1f ± %.1f\n", k.Log10K(chem.Celsius(25), 0.1), k.Sigma(chem.Celsius(25), 0.1))
	// Output:
	// log K 19.1 ± 0.2
}

// Every constant shows the published values that it rests on.
func ExampleTables_Equilibrium() {
	t, err := tables.Standard()
	if err != nil {
		panic(err)
	}
	e, err := t.Equilibrium("HCO3-")
	if err != nil {
		panic(err)
	}
	fmt.Println(e.Reaction)
	for _, o := range e.Observations {
		if o.Quantity == chem.Log10K && o.IonicStrengthMolPerLitre == 0 {
			fmt.Printf("%2.0f °C: %.3f, off by %+.3f (%s, %s)\n", o.TemperatureC, o.Value, o.Residual, o.Source, o.Note)
		}
	}
	// Output:
	// CO3^2- + H+ = HCO3-
	// 10 °C: 10.490, off by +0.004 (nist46, row 172625)
	// 25 °C: 10.329, off by +0.000 (nist46, row 172626)
	// 40 °C: 10.220, off by -0.004 (nist46, row 172627)
}

// A misspelt name is answered with those that come near.
func ExampleTables_Formation() {
	t, err := tables.Standard()
	if err != nil {
		panic(err)
	}
	_, err = t.Formation("lepidocrosite")
	fmt.Println(err)
	// Output:
	// species is "lepidocrosite": want a name of the tables, such as "lepidocrocite"
}
