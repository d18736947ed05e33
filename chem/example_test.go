package chem_test

import (
	"fmt"
	"slices"

	"example.com/chelation/chem"
)

// Rust in the balance: four irons take up three oxygens and six waters, and a
// reaction that does not conserve its atoms says what is wrong (arithmetic).
func ExampleReaction_Check() {
	for _, text := range []string{"4 Fe + 3 O2(g) + 2 H2O = 4 FeO(OH)", "2 Fe + O2(g) + H2O = 2 FeO(OH)"} {
		r, err := chem.ParseReaction(text)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Println(r.Check())
	}
	// Output:
	// <nil>
	// reaction is "2 Fe + O2(g) + H2O = 2 FeO(OH)": want a balanced one (the products exceed the reactants by O +1)
}

// A constant moves with ionic strength: pK2 of phosphoric acid is 7.20 in pure
// water and 6.8 in blood or a buffer (NIST SRD 46, row 174233: 7.198 at zero).
func ExampleConstant_Log10K() {
	k := chem.Constant{LogK: 7.198, DeltaZ2: -4}
	for _, i := range []float64{0, 0.01, 0.1} {
		fmt.Printf("I = %.2f: %.2f\n", i, k.Log10K(chem.Celsius(25), i))
	}
	// Output:
	// I = 0.00: 7.20
	// I = 0.01: 7.02
	// I = 0.10: 6.76
}

// At 0.1 mol/L and 25 °C a singly charged ion has 0.78 of its concentration by the
// convention of the pH scale (Buck et al., Pure Appl. Chem. 74 (2002) 2169, equation
// 7); the logarithm goes with the square of the charge.
func ExampleActivityCoefficient() {
	for z := 1; z <= 3; z++ {
		fmt.Printf("%d %.2f\n", z, chem.ActivityCoefficient(z, 0, 0.1, chem.Celsius(25)))
	}
	// Output:
	// 1 0.78
	// 2 0.36
	// 3 0.10
}

func ExampleNearest() {
	known := slices.Values([]string{"vinegar", "washing soda", "baking soda"})
	fmt.Println(chem.Nearest("vingear", known), chem.Nearest("soda", known), chem.Nearest("quartz", known))
	// Output:
	// [vinegar] [baking soda washing soda] []
}

func ExampleWithin() {
	fmt.Println(chem.Within("volume", -5, 0.05, 100000, "L"))
	// Output:
	// volume is -5 L: want 0.05 to 100000 L
}

func ExampleLookupElement() {
	e, _ := chem.LookupElement("Fe")
	fmt.Println(e.Number, e.Name, e.Weight)
	// Output:
	// 26 iron 55.845
}

// Water has 999.975, 998.207 and 992.215 kg/m³ at 4, 20 and 40 °C by the present standard
// (M. Tanaka et al., Metrologia 38 (2001) 301); the older formula in use is within 0.003.
func ExampleWaterDensity() {
	for _, t := range []float64{4, 20, 40} {
		fmt.Printf("%.3f\n", chem.WaterDensity(chem.Celsius(t)))
	}
	// Output:
	// 999.972
	// 998.204
	// 992.216
}

// The coefficient A of the Debye–Hückel law is 0.4918, 0.5115 and 0.5373 (L/mol)^½ at 0, 25
// and 50 °C (R. A. Robinson and R. H. Stokes, Electrolyte Solutions, 2nd ed. 1959, appendix
// 7.1; from memory).
func ExampleDebyeHuckelA() {
	for _, t := range []float64{0, 25, 50} {
		fmt.Printf("%.3f\n", chem.DebyeHuckelA(chem.Celsius(t)))
	}
	// Output:
	// 0.492
	// 0.512
	// 0.537
}

// A mole of an ideal gas fills 22.414 L at 0 °C and 1 atm (CODATA 2018), so 24.1 L in a
// room of 20 °C.
func ExampleMolarVolume() {
	fmt.Printf("%.3f %.1f\n", chem.MolarVolume(chem.Celsius(0)), chem.MolarVolume(chem.Celsius(20)))
	// Output:
	// 22.414 24.1
}

// Reactions add up, and their constants with them: carbonate takes up two protons with
// the sum of 10.33 and 6.35 (NIST SRD 46, zero ionic strength), and gives off as much heat
// as the two steps together.
func ExampleConstant_Plus() {
	first := chem.Constant{LogK: 10.33, DeltaH: -14600, DeltaZ2: -4}
	second := chem.Constant{LogK: 6.35, DeltaH: -9200, DeltaZ2: -2}
	both := first.Plus(1, second)
	fmt.Printf("%.2f, %.1f kJ/mol\n", both.Log10K(chem.ReferenceTemperature, 0), both.Enthalpy(chem.ReferenceTemperature, 0)/1000)
	// Output:
	// 16.68, -23.8 kJ/mol
}
