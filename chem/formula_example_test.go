package chem_test

import (
	"fmt"

	"example.com/chelation/chem"
)

func ExampleParseFormula() {
	for _, s := range []string{"Na4(edta)·4H2O", "CuSO4.5H2O", "Fe(edta)-", "SO₄²⁻"} {
		f, err := chem.ParseFormula(s)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%-15s %-17s %+d %8.3f g/mol\n", f, f.Hill(), f.Charge(), f.MolarMass())
	}
	// Output:
	// Na4(edta)·4H2O  C10H20N2Na4O12    +0  452.232 g/mol
	// CuSO4·5H2O      CuH10O9S          +0  249.677 g/mol
	// Fe(edta)-       C10H12FeN2O8      -1  344.057 g/mol
	// SO4^2-          O4S               -2   96.056 g/mol
}

// Text that reads two ways is refused, with both ways to write it.
func ExampleParseFormula_ambiguous() {
	_, err := chem.ParseFormula("SO42-")
	fmt.Println(err)
	// Output:
	// formula "SO42-": byte 2: "42" could be a subscript or part of the charge: write SO4^2- or SO42^-
}

func ExampleParseSpecies() {
	for _, s := range []string{"Fe3+", "CO2(g)", "FeOOH(s, goethite)"} {
		sp, err := chem.ParseSpecies(s)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%s: formula %s, phase %s, form %q\n", sp, sp.Formula, sp.Phase, sp.Modifier)
	}
	// Output:
	// Fe3+: formula Fe3+, phase aq, form ""
	// CO2(g): formula CO2, phase g, form ""
	// FeOOH(s, goethite): formula FeOOH, phase s, form "goethite"
}

func ExampleAbbreviations() {
	for a := range chem.Abbreviations() {
		fmt.Printf("%-8s %-12s %s\n", a.Anion, a.Anion.Hill(), a.Name)
	}
	// Output:
	// edta4-   C10H12N2O8   ethylenediaminetetraacetate
	// hedta3-  C10H15N2O7   N-(2-hydroxyethyl)ethylenediaminetriacetate
	// dtpa5-   C14H18N3O10  diethylenetriaminepentaacetate
	// nta3-    C6H6NO6      nitrilotriacetate
	// cit3-    C6H5O7       citrate
	// gluc-    C6H11O7      gluconate
	// tart2-   C4H4O6       tartrate
	// ox2-     C2O4         oxalate
	// pht2-    C8H4O4       phthalate (benzene-1,2-dicarboxylate)
	// ac-      C2H3O2       acetate
}
