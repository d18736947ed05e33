package solution_test

import (
	"errors"
	"fmt"
	"log"
	"math"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// litre is a litre of pure water at 25 °C with moles of species in it.
func litre(species map[string]float64) *solution.Solution {
	t, err := tables.Standard()
	if err != nil {
		log.Fatal(err)
	}
	v, err := solution.New(t, chem.Celsius(25))
	if err != nil {
		log.Fatal(err)
	}
	if err := v.AddPureWater(measure.Litre); err != nil {
		log.Fatal(err)
	}
	for name, n := range species {
		if err := v.AddSpecies(name, unit.Mole(n)); err != nil {
			log.Fatal(err)
		}
	}
	return v
}

func stateOf(v *solution.Solution) *solution.State {
	st, err := v.Equilibrate()
	if err != nil {
		log.Fatal(err)
	}
	return st
}

// Rain in balance with air of 10^-3.5 atm of carbon dioxide has pH 5.65 (W. Stumm and
// J. J. Morgan, Aquatic Chemistry, 3rd ed. 1996, chapter 4; from
// memory); the tables give 0.01 more.
func ExampleSolution_Open() {
	rain := litre(nil)
	fmt.Printf("closed %.2f\n", stateOf(rain).PH)
	if err := rain.Open(math.Pow(10, -3.5)); err != nil {
		log.Fatal(err)
	}
	fmt.Printf("open %.2f\n", stateOf(rain).PH)
	// Output:
	// closed 7.00
	// open 5.66
}

// A vessel needs water.
func ExampleSolution_Equilibrate() {
	t, err := tables.Standard()
	if err != nil {
		log.Fatal(err)
	}
	heap, err := solution.New(t, chem.Celsius(20))
	if err != nil {
		log.Fatal(err)
	}
	_, err = heap.Equilibrate()
	fmt.Println(err)
	// Output:
	// vessel is empty: want water in it
}

// A substance is asked for by formula or by name; one that nobody knows is refused.
func ExampleState_Concentration() {
	st := stateOf(litre(map[string]float64{"Na+": 0.01, "HCO3-": 0.01}))
	for _, name := range []string{"HCO3-", "bicarbonate", "lead", "Fe(edat)-"} {
		c, err := st.Concentration(name)
		fmt.Printf("%-12s %.2g mol/L, refused: %v\n", name, c, err != nil)
	}
	// Output:
	// HCO3-        0.0098 mol/L, refused: false
	// bicarbonate  0.0098 mol/L, refused: false
	// lead         0 mol/L, refused: false
	// Fe(edat)-    0 mol/L, refused: true
}

// Half of an acid is without its proton where pH, as a concentration, is its pK: 4.76
// for acetic acid at zero ionic strength, less the more salt there is.
func ExampleState_Distribution() {
	st := stateOf(litre(map[string]float64{"Hac": 0.001, "Na+": 0.001, "ac-": 0.001}))
	spread, err := st.Distribution("acetate")
	if err != nil {
		log.Fatal(err)
	}
	for _, f := range spread {
		fmt.Printf("%-4s %3.0f %%\n", f.Species, 100*f.Value)
	}
	// Output:
	// ac-   51 %
	// Hac   49 %
}

// The acid constant of acetic acid is 4.56 at an ionic strength of 0.1 mol/L (NIST
// Standard Reference Database 46). In a buffer of equal parts at that ionic strength
// −log10 [H⁺] is that; diluted, the constant moves towards 4.76.
func ExampleSolution_SetConstant() {
	for _, c := range []float64{0.1, 0.01, 0.001} {
		buffer := litre(map[string]float64{"Hac": c, "Na+": c, "ac-": c})
		if err := buffer.SetConstant("Hac", 4.56, 0.1); err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%-5g mol/L of each: −log [H+] = %.2f\n", c, stateOf(buffer).PConcH)
	}
	// Output:
	// 0.1   mol/L of each: −log [H+] = 4.56
	// 0.01  mol/L of each: −log [H+] = 4.68
	// 0.001 mol/L of each: −log [H+] = 4.75
}

// 0.1 mol/L of acetic acid has pH 2.88 with pKa 4.76 and without activity coefficients,
// in every introductory textbook.
func ExampleSolution_SetIdeal() {
	acid := litre(map[string]float64{"Hac": 0.1})
	acid.SetIdeal(true)
	if err := acid.SetConstant("Hac", 4.76, 0); err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f\n", stateOf(acid).PH)
	// Output:
	// 2.88
}

// How pH moves with the next gram tells how carefully to add it: an acetate buffer at
// pH = pKa has the capacity ln 10 c/4 (D. D. Van Slyke, J. Biol. Chem. 52 (1922) 525).
func ExampleSolution_Response() {
	buffer := litre(map[string]float64{"Hac": 0.05, "Na+": 0.05, "ac-": 0.05})
	t, _ := tables.Standard()
	lye, err := t.Reagent("lye")
	if err != nil {
		log.Fatal(err)
	}
	st, perGram, err := buffer.Response(lye)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("pH %.2f, %+.2f with each gram of lye\n", st.PH, perGram)
	fmt.Printf("capacity %.4f mol/L, by Van Slyke %.4f\n", st.BufferCapacityMolPerLitre, math.Ln10*0.1/4)
	// Output:
	// pH 4.68, +0.41 with each gram of lye
	// capacity 0.0585 mol/L, by Van Slyke 0.0576
}

// The pH of rain rests on two constants, that of Henry and that of carbonic acid, each
// of which counts half.
func ExampleSolution_Uncertainty() {
	rain := litre(nil)
	if err := rain.Open(solution.AirCO2); err != nil {
		log.Fatal(err)
	}
	u, err := rain.Uncertainty(solution.PH(0))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("pH %.2f ± %.3f\n", stateOf(rain).PH, u.Sigma)
	for _, p := range u.Parts[:2] {
		fmt.Printf("%+.2f × log K of %s\n", p.Slope, p.Reaction)
	}
	// Output:
	// pH 5.59 ± 0.039
	// +0.50 × log K of HCO3- + H+ = H2CO3
	// -0.50 × log K of CO2(g) + H2O = H2CO3
}

// Citric acid does not make a bath as sour as that; the error tells how far it gets.
func ExampleUnreachableError() {
	bath := litre(map[string]float64{"Na+": 0.2, "edta4-": 0.05})
	t, _ := tables.Standard()
	acid, err := t.Reagent("citric acid")
	if err != nil {
		log.Fatal(err)
	}
	_, err = bath.Dose(acid, solution.PH(1))
	if far := new(solution.UnreachableError); errors.As(err, &far) {
		fmt.Printf("from pH %.1f to %.1f at most\n", far.Start, far.Limit)
	}
	// Output:
	// from pH 11.0 to 2.1 at most
}

// The phosphate standard, 0.025 mol/kg of each salt, reads pH 6.951 at 5 °C, 6.865 at 25 °C
// and 6.834 at 45 °C (R. P. Buck et al., Pure Appl. Chem. 74 (2002) 2169, table 2).
func ExampleSolution_SetTemperature() {
	standard := litre(map[string]float64{"K+": 0.025, "Na+": 0.05, "H2PO4-": 0.025, "HPO4^2-": 0.025})
	for _, t := range []float64{5, 25, 45} {
		if err := standard.SetTemperature(chem.Celsius(t)); err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%.0f °C: %.2f\n", t, stateOf(standard).PH)
	}
	// Output:
	// 5 °C: 6.94
	// 25 °C: 6.86
	// 45 °C: 6.83
}

// Water takes up 0.034 mol/L of carbon dioxide under 1 atm at 25 °C (log K −1.47, L. N.
// Plummer and E. Busenberg, Geochim. Cosmochim. Acta 46 (1982) 1011). So a litre of soda
// water with 0.1 mol stands under 3 atm, and once opened lets the rest out in bubbles.
func ExampleSolution_Fizz() {
	soda := litre(map[string]float64{"H2CO3": 0.1})
	pressure, err := soda.PressureCO2()
	if err != nil {
		log.Fatal(err)
	}
	gas, err := soda.Fizz()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f atm, %.1f L of gas\n", pressure, gas)
	// Output:
	// 2.9 atm, 1.6 L of gas
}

// A litre each of 0.1 mol/L acetic acid and 0.1 mol/L sodium acetate make a buffer whose
// −log10 [H⁺] is the acid constant, between 4.757 at zero ionic strength and 4.56 at 0.1 mol/L
// (NIST SRD 46, rows 144421 and 144406).
func ExampleSolution_Mix() {
	buffer := litre(map[string]float64{"Hac": 0.1})
	if err := buffer.Mix(litre(map[string]float64{"Na+": 0.1, "ac-": 0.1})); err != nil {
		log.Fatal(err)
	}
	st := stateOf(buffer)
	fmt.Printf("%.2f L, ionic strength %.3f mol/L, −log [H+] = %.2f\n", st.VolumeLitres, st.IonicStrengthMolPerLitre, st.PConcH)
	// Output:
	// 2.00 L, ionic strength 0.050 mol/L, −log [H+] = 4.59
}

// Iron that rusts in water makes it sour: each mole that air oxidises and that comes down
// as hydroxide sets two moles of protons free, Fe²⁺ + ¼ O2 + 2½ H2O = Fe(OH)3 + 2 H⁺
// (W. Stumm and J. J. Morgan, Aquatic Chemistry, 3rd ed. 1996, chapter 7), and so takes the
// bicarbonate of twice as much.
func ExampleSolution_React() {
	well := litre(map[string]float64{"Fe2+": 0.001, "SO4^2-": 0.001, "Na+": 0.002, "HCO3-": 0.002})
	air, err := chem.ParseReaction("4 Fe2+ + O2(g) + 4 H+ = 4 Fe3+ + 2 H2O")
	if err != nil {
		log.Fatal(err)
	}
	if err := well.React(air, 0.001/4); err != nil {
		log.Fatal(err)
	}
	st := stateOf(well)
	left, err := st.Concentration("bicarbonate")
	if err != nil {
		log.Fatal(err)
	}
	for _, s := range st.Solids {
		if s.Moles > 0 {
			fmt.Printf("%.4f mol of %s\n", s.Moles, s.Name)
		}
	}
	fmt.Printf("%.5f mol/L of bicarbonate left\n", left)
	// Output:
	// 0.0010 mol of ferrihydrite
	// 0.00003 mol/L of bicarbonate left
}
