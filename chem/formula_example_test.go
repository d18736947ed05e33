package chem_test

import (
	"fmt"

	"example.com/chelation/chem"
)

func ExampleParseFormula() {
	notation, err := chem.NewNotation("edta4- = C10H12N2O8^4-")
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range []string{"Na4(edta)·4H2O", "CuSO4.5H2O", "Fe(edta)-", "SO₄²⁻"} {
		f, err := notation.ParseFormula(s)
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
	// formula is "SO42-": want a chemical formula (byte 2: "42" could be a subscript or part of the charge: write SO4^2- or SO42^-)
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
