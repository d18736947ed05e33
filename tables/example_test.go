package tables_test

import (
	"fmt"
	"testing/fstest"

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
	// Fe(OH)(edta)^2-      log β 17.5
	// Fe(OH)2(edta)^3-     log β 8.2
	// Fe2(OH)2(edta)2^4-   log β 38.0
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
	// log K 19.1 ± 0.3
}

// Every constant shows the published values that it rests on.
func ExampleTables_EquilibriumAt() {
	t, err := tables.Standard()
	if err != nil {
		panic(err)
	}
	f, err := t.Formation("HCO3-")
	if err != nil {
		panic(err)
	}
	e, _ := t.EquilibriumAt(f.Steps[0].Equilibrium)
	fmt.Println(e.Reaction)
	for _, o := range e.Observations {
		if o.Quantity == chem.Log10K && o.IonicStrengthMolPerLitre == 0 {
			fmt.Printf("%2.0f °C: %.3f, off by %+.3f (%s, %s)\n", o.TemperatureC, o.Value, o.Residual, o.Source, o.Note)
		}
	}
	// Output:
	// CO3^2- + H+ = HCO3-
	// 10 °C: 10.490, off by +0.005 (nist46, row 172625; printed to a thousandth: uncertainty assigned)
	// 25 °C: 10.329, off by -0.002 (nist46, row 172626)
	// 40 °C: 10.220, off by -0.002 (nist46, row 172627; printed to a thousandth: uncertainty assigned)
}

// A species by its name, and how firmly it is held. Martell and Smith's value for
// 25 °C and 0.1 mol/L in potassium salts is 25.1 (NIST SRD 46, row 108639); free of
// the potassium that EDTA binds (row 108316) it is 25.31, and by the fit to all rows a little more.
func ExampleTables_Formation() {
	t, err := tables.Standard()
	if err != nil {
		panic(err)
	}
	f, err := t.Formation("ferric EDTA")
	if err != nil {
		panic(err)
	}
	components := t.Components()
	for _, c := range f.Coefficients {
		fmt.Print(c.N, " ", components[c.Component].Species, "  ")
	}
	fmt.Printf("%s  log β %.2f\n", f.Species, f.Constant.Log10K(chem.Celsius(25), 0.1))
	// Output:
	// 1 Fe3+  1 edta4-  Fe(edta)-  log β 25.37
}

// A misspelt name is answered with those that come near.
func ExampleTables_Formation_misspelt() {
	t, err := tables.Standard()
	if err != nil {
		panic(err)
	}
	_, err = t.Formation("lepidocrosite")
	fmt.Println(err)
	// Output:
	// species is "lepidocrosite": want a name of the tables, such as "lepidocrocite"
}

// A ligand of the caller's: malonic acid, by the values that NIST SRD 46 prints for
// 25 °C and zero ionic strength (rows 151937 and 151965).
func ExampleTables_With() {
	standard, err := tables.Standard()
	if err != nil {
		panic(err)
	}
	t, err := standard.With(fstest.MapFS{
		"components.csv": {Data: []byte("species,composition,name,role,class,synonyms\nmal2-,C3H2O4^2-,malonate,ligand,,\n")},
		"constants/malonate.csv": {Data: []byte("reaction,quantity,temperature_c,ionic_strength_mol_l,medium,value,uncertainty,use,source,note\n" +
			"mal2- + H+ = Hmal-,log K,25,0,,5.696,,fit,nist46,row 151937\nHmal- + H+ = H2mal,log K,25,0,,2.847,,fit,nist46,row 151965\n")},
	})
	if err != nil {
		panic(err)
	}
	acid, err := t.Formation("H2mal")
	if err != nil {
		panic(err)
	}
	fmt.Printf("%s, %s: log β %.3f\n", acid.Species, acid.Species.Formula.Hill(), acid.Constant.LogK)
	_, err = t.With(fstest.MapFS{"names.csv": {Data: []byte("species,name,synonyms\nHmal-,bicarbonate,\n")}})
	fmt.Println(err)
	// Output:
	// H2mal, C3H4O4: log β 8.543
	// names.csv line 2, column name is "bicarbonate": want what no other row of the tables has; "bicarbonate" is taken
}

// Formulas are read with the abbreviations of the tables' ligands. The molar mass
// is the one that suppliers print for the acid (292.24 g/mol).
func ExampleTables_Notation() {
	t, err := tables.Standard()
	if err != nil {
		panic(err)
	}
	f, err := t.Notation().ParseFormula("H4(edta)")
	if err != nil {
		panic(err)
	}
	text, err := f.MarshalText()
	if err != nil {
		panic(err)
	}
	fmt.Printf("%.2f g/mol, kept as %s\n", f.MolarMass(), text)
	// Output:
	// 292.24 g/mol, kept as H4(edta); edta4- = C10H12N2O8^4-
}

// A component counts by its class: what a bath's capacity goes by.
func ExampleTables_Component() {
	t, err := tables.Standard()
	if err != nil {
		panic(err)
	}
	for _, name := range []string{"edetate", "cit", "ferrous", "calcium ion"} {
		c, err := t.Component(name)
		if err != nil {
			panic(err)
		}
		fmt.Printf("%-6s %s\n", c.Species, c.Class)
	}
	// Output:
	// edta4- strong chelant
	// cit3-  weak chelant
	// Fe2+   iron
	// Ca2+   hardness
}

// The density of goethite is that of mineral tables, 4.28 g/cm³; it dissolves but
// does not come down within the days of a bath.
func ExampleTables_Solid() {
	t, err := tables.Standard()
	if err != nil {
		panic(err)
	}
	s, err := t.Solid("alpha-FeOOH")
	if err != nil {
		panic(err)
	}
	fmt.Println(s.Species, s.DensityKgPerM3, "kg/m³, forms:", s.Forms)
	// Output:
	// FeOOH(s, goethite) 4280 kg/m³, forms: no
}

// A strip cannot show what is off its scale.
func ExampleStrip_Check() {
	t, err := tables.Standard()
	if err != nil {
		panic(err)
	}
	s, err := t.Strip("half-step pH strip")
	if err != nil {
		panic(err)
	}
	fmt.Println(s.Check(7))
	fmt.Println(s.Check(3))
	// Output:
	// <nil>
	// reading of the half-step pH strip is 3: want 4.5 to 10
}

// Water of 7 grains of hardness per gallon, of which seven parts in ten are calcium.
func ExampleNewWater() {
	t, err := tables.Standard()
	if err != nil {
		panic(err)
	}
	hardness, err := t.ParseHardness("7 gpg")
	if err != nil {
		panic(err)
	}
	alkalinity, err := t.ParseAlkalinity("100 ppm")
	if err != nil {
		panic(err)
	}
	w, err := tables.NewWater("tap", hardness, 0.7, alkalinity, 7.5)
	if err != nil {
		panic(err)
	}
	for _, ion := range w.Ions {
		fmt.Printf("%-4s %.2f mmol/L\n", ion.Species, 1000*ion.MolPerLitre)
	}
	// Output:
	// Ca2+ 0.84 mmol/L
	// Mg2+ 0.36 mmol/L
	// Cl-  0.40 mmol/L
}

// Iron before its ions: the electromotive series (common practice, no source).
func ExampleFind_couple() {
	t, err := tables.Standard()
	if err != nil {
		panic(err)
	}
	for _, name := range []string{"zinc", "iron", "brass"} {
		c, err := tables.Find[tables.Couple](t, name)
		if err != nil {
			panic(err)
		}
		fmt.Printf("%s/%s %+.2f V\n", c.Oxidised, c.Reduced, c.PotentialVolts)
	}
	// Output:
	// Zn2+/Zn(s) -0.76 V
	// Fe2+/Fe(s) -0.45 V
	// Cu2+/Cu(s) +0.34 V
}
