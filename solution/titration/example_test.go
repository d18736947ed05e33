package titration_test

import (
	"context"
	"fmt"
	"log"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/solution/titration"
	"example.com/chelation/tables"
)

// vessel is a volume at 25 °C with species in mol/L.
func vessel(t *tables.Tables, ml float64, ions map[string]float64) *solution.Solution {
	s, err := solution.New(t, chem.Celsius(25))
	if err != nil {
		log.Fatal(err)
	}
	if err := s.AddPureWater(unit.Volume(ml * 1e-6)); err != nil {
		log.Fatal(err)
	}
	for ion, c := range ions {
		if err := s.AddSpecies(ion, unit.Mole(c*ml/1000)); err != nil {
			log.Fatal(err)
		}
	}
	return s
}

// Vinegar, diluted ten times, against lye with phenolphthalein.
func Example() {
	t, err := tables.Standard()
	if err != nil {
		log.Fatal(err)
	}
	run, err := titration.New(vessel(t, 50, map[string]float64{"Hac": 0.083}), vessel(t, 100, map[string]float64{"Na+": 0.1, "OH-": 0.1}), "H+")
	if err != nil {
		log.Fatal(err)
	}
	equivalence, err := run.Equivalence("H+ = 0")
	if err != nil {
		log.Fatal(err)
	}
	dye, err := t.Indicator("phenolphthalein")
	if err != nil {
		log.Fatal(err)
	}
	ends, err := run.Endpoints(context.Background(), dye, 80e-6)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("equivalence at %.2f mL\n", float64(equivalence)*1e6)
	for _, e := range ends {
		fmt.Printf("%s turns from %s to %s at %.2f mL, pH %.2f\n", e.Indicator, e.From, e.To, e.ML, e.P)
	}
	// Output:
	// equivalence at 41.50 mL
	// Phenolphthalein turns from colourless to pink at 41.51 mL, pH 9.15
}

// The total hardness of a water, and whether the endpoint tells the truth.
func ExampleTitration_Judge() {
	t, err := tables.Standard()
	if err != nil {
		log.Fatal(err)
	}
	water := vessel(t, 50, map[string]float64{"Ca2+": 0.0015, "Mg2+": 0.0005, "Cl-": 0.004})
	if err := water.HoldPH(10); err != nil {
		log.Fatal(err)
	}
	run, err := titration.New(water, vessel(t, 100, map[string]float64{"Na+": 0.02, "H2edta2-": 0.01}), "Mg2+")
	if err != nil {
		log.Fatal(err)
	}
	equivalence, err := run.Equivalence("Ca2+ + Mg2+ = edta4-")
	if err != nil {
		log.Fatal(err)
	}
	verdicts, err := run.Judge(context.Background(), t.Indicators(), equivalence, 20e-6, 0.02)
	if err != nil {
		log.Fatal(err)
	}
	for _, v := range verdicts[:2] {
		fmt.Printf("%s turns from %s to %s, %.0f parts in a thousand off at most\n", v.Indicator, v.From, v.To, 1000*v.WorstRelativeError)
	}
	// Output:
	// Calmagite turns from wine red to blue, 1 parts in a thousand off at most
	// Eriochrome black T turns from wine red to blue, 3 parts in a thousand off at most
}

// Drops of a calcium solution on a sample of a used bath.
func ExampleTitre_FreeChelant() {
	test := titration.Titre{
		Sample: 5e-6, SampleWith: titration.Dispenser{Name: "syringe", Relative: 0.04},
		Strength: 0.1, StrengthStandard: 0.01, // mol/L calcium
		Drops: 62, With: titration.Burettes()[6], // drops of 1/20 mL
	}
	left, err := test.FreeChelant(20e-3)
	if err != nil {
		log.Fatal(err)
	}
	source, share := left.ConcentrationMolPerLitre.Dominant()
	fmt.Println("free chelant, mol/L:", left.ConcentrationMolPerLitre)
	fmt.Println("rust it can still take, g:", left.RustGrams)
	fmt.Printf("%.0f %% of the variance: %s\n", 100*share, source)
	// Output:
	// free chelant, mol/L: 0.0615 ± 0.0073
	// rust it can still take, g: 109 ± 13
	// 95 % of the variance: size of the drop or scale of the burette
}

// The lowest pH at which EDTA holds a metal well enough for a titration, on the
// scale of concentrations that textbooks use.
func ExampleNeededLogK() {
	t, err := tables.Standard()
	if err != nil {
		log.Fatal(err)
	}
	for _, metal := range []string{"Fe3+", "Zn2+", "Ca2+", "Mg2+"} {
		pair, err := solution.NewPair(t, metal, "edta", solution.Surroundings{Temperature: chem.Celsius(25), IonicStrength: 0.1})
		if err != nil {
			log.Fatal(err)
		}
		low, _, err := pair.Window(titration.NeededLogK(0.001, 0.01))
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%s from p[H+] %.1f\n", metal, pair.PConcH(low))
	}
	// Output:
	// Fe3+ from p[H+] 1.0
	// Zn2+ from p[H+] 3.9
	// Ca2+ from p[H+] 7.5
	// Mg2+ from p[H+] 9.4
}

// Concentration and acid constant from readings.
func ExampleTitration_Fit() {
	t, err := tables.Standard()
	if err != nil {
		log.Fatal(err)
	}
	run, err := titration.New(vessel(t, 50, map[string]float64{"Hac": 0.08}), vessel(t, 100, map[string]float64{"Na+": 0.1, "OH-": 0.1}), "H+")
	if err != nil {
		log.Fatal(err)
	}
	readings := []titration.Reading{ // invented for this example
		{ML: 5, P: 3.78}, {ML: 10, P: 4.12}, {ML: 15, P: 4.38}, {ML: 20, P: 4.62}, {ML: 25, P: 4.83}, {ML: 30, P: 5.09},
		{ML: 35, P: 5.38}, {ML: 40, P: 5.92}, {ML: 44, P: 10.93}, {ML: 48, P: 11.59}, {ML: 55, P: 12.00},
	}
	fit, err := run.Fit(context.Background(), readings, titration.Fitting{Standard: 0.02, VolumeStandard: 0.02 * mL},
		titration.Concentration("Hac"), titration.AcidConstant("Hac"))
	if err != nil {
		log.Fatal(err)
	}
	for _, e := range fit.Estimates {
		fmt.Printf("%s: %.4g, from %.4g to %.4g\n", e.Unknown, e.Value, e.Low, e.High)
	}
	// Output:
	// concentration of Hac: 0.08588, from 0.08569 to 0.08607
	// pKa of Hac: 4.758, from 4.744 to 4.772
}
