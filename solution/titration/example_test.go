package titration_test

import (
	"context"
	"errors"
	"fmt"
	"log"
	"math"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/titration"
	"example.com/chelation/tables"
)

// vessel is a volume at 25 °C with species in mol/L.
func vessel(ml unit.Volume, ions map[string]float64) *solution.Solution {
	t, err := tables.Standard()
	if err != nil {
		log.Fatal(err)
	}
	s, err := solution.New(t, chem.Celsius(25))
	if err != nil {
		log.Fatal(err)
	}
	if err := s.AddPureWater(ml * measure.Millilitre); err != nil {
		log.Fatal(err)
	}
	for ion, c := range ions {
		if err := s.AddSpecies(ion, unit.Mole(c*float64(ml)/1000)); err != nil {
			log.Fatal(err)
		}
	}
	return s
}

// textbook takes activity coefficients as one, as introductory textbooks do, and
// the constants that a book prints; −Inf leaves a species out.
func textbook(s *solution.Solution, constants map[string]float64) {
	s.SetIdeal(true)
	for species, log10K := range constants {
		if err := s.SetConstant(species, log10K, 0); err != nil {
			log.Fatal(err)
		}
	}
}

// indicatorOf is one of the tables.
func indicatorOf(name string) tables.Indicator {
	t, err := tables.Standard()
	if err != nil {
		log.Fatal(err)
	}
	x, err := t.Indicator(name)
	if err != nil {
		log.Fatal(err)
	}
	return x
}

// 50.00 mL of 0.1000 mol/L acetic acid, Ka = 1.75e-5, with 0.1000 mol/L sodium
// hydroxide: D. A. Skoog, D. M. West, F. J. Holler, S. R. Crouch, Fundamentals of
// Analytical Chemistry, 9th ed. 2014, chapter 14, table of the changes in pH during
// the titration of a weak acid with a strong base, prints 2.88, 4.16, 4.76, 5.36,
// 6.45, 8.73, 11.00, 11.96 and 12.30 (from memory).
func Example() {
	sample := vessel(50, map[string]float64{"Hac": 0.1})
	textbook(sample, map[string]float64{"Hac": -math.Log10(1.75e-5), "OH-": -14})
	run, err := titration.New(sample, vessel(100, map[string]float64{"Na+": 0.1, "OH-": 0.1}), "H+")
	if err != nil {
		log.Fatal(err)
	}
	for _, ml := range []unit.Volume{0, 10, 25, 40, 49, 50, 51, 60, 75} {
		p, err := run.At(ml * measure.Millilitre)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%g mL: pH %.2f\n", p.ML, p.P)
	}
	equivalence, err := run.Equivalence("H+ = 0")
	if err != nil {
		log.Fatal(err)
	}
	ends, err := run.Endpoints(context.Background(), indicatorOf("phenolphthalein"), 80*measure.Millilitre)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("equivalence at %.2f mL\n", float64(equivalence/measure.Millilitre))
	for _, e := range ends {
		fmt.Printf("%s turns from %s to %s at %.2f mL, pH %.2f\n", e.Indicator, e.From, e.To, e.ML, e.P)
	}
	// Output:
	// 0 mL: pH 2.88
	// 10 mL: pH 4.16
	// 25 mL: pH 4.76
	// 40 mL: pH 5.36
	// 49 mL: pH 6.45
	// 50 mL: pH 8.73
	// 51 mL: pH 11.00
	// 60 mL: pH 11.96
	// 75 mL: pH 12.30
	// equivalence at 50.00 mL
	// Phenolphthalein turns from colourless to pink at 50.01 mL, pH 9.15
}

// Carbonate has two ends, 0.05 mol/L of it with 0.1 mol/L acid: half way it is
// bicarbonate, of which every introductory text has pH = (pK1 + pK2)/2, here (6.35
// + 10.33)/2 = 8.34; and each half is a buffer about its pKa.
func ExampleTitration_Buffers() {
	sample := vessel(50, map[string]float64{"Na+": 0.1, "CO3^2-": 0.05})
	textbook(sample, map[string]float64{"HCO3-": 10.33, "H2CO3": 10.33 + 6.35, "OH-": -14})
	run, err := titration.New(sample, vessel(100, map[string]float64{"H+": 0.1, "Cl-": 0.1}), "H+")
	if err != nil {
		log.Fatal(err)
	}
	upTo := 80 * measure.Millilitre
	equivalents, err := run.Equivalents(upTo)
	if err != nil {
		log.Fatal(err)
	}
	inflections, err := run.Inflections(context.Background(), upTo)
	if err != nil {
		log.Fatal(err)
	}
	for i, e := range equivalents {
		fmt.Printf("%s: %.2f mL, and the curve is steepest at %.2f mL, pH %.2f\n", e.Balance, e.ML, inflections[i].ML, inflections[i].P)
	}
	buffers, err := run.Buffers(context.Background(), upTo)
	if err != nil {
		log.Fatal(err)
	}
	for _, b := range buffers {
		fmt.Printf("%.1f to %.1f mL buffers about pH %.1f\n", b.FromML, b.ToML, b.P)
	}
	// Output:
	// H+ = CO3^2-: 25.00 mL, and the curve is steepest at 25.00 mL, pH 8.34
	// H+ = 2 CO3^2-: 50.00 mL, and the curve is steepest at 50.00 mL, pH 3.98
	// 0.0 to 22.7 mL buffers about pH 10.3
	// 27.2 to 47.7 mL buffers about pH 6.4
}

// Calcium with EDTA at pH 10: the pCa that D. A. Skoog et al., Fundamentals of
// Analytical Chemistry, 9th ed. 2014, chapter 17, work out for 50.0 mL of 0.00500
// mol/L with 0.0100 mol/L EDTA (rows of testdata/edta-titrations.csv), give back the
// formation constant that they used, 5.0e10 or 10.70, from a start at 9.
// (The book rounds the share of EDTA without protons to 0.35; its constants make it 0.355.)
func ExampleFormationConstant() {
	sample := vessel(50, map[string]float64{"Ca2+": 0.005})
	none := math.Inf(-1)
	textbook(sample, map[string]float64{ // G. Schwarzenbach's acid constants at 20 °C, as the book has them
		"Hedta3-": 10.26, "H2edta2-": 16.42, "H3edta-": 19.09, "H4edta": 21.09, "H5edta+": none, "H6edta^2+": none,
		"Ca(edta)^2-": 9, "CaH(edta)-": none, "CaOH+": none,
	})
	if err := sample.HoldPH(10); err != nil {
		log.Fatal(err)
	}
	run, err := titration.New(sample, vessel(100, map[string]float64{"edta4-": 0.01}), "Ca2+")
	if err != nil {
		log.Fatal(err)
	}
	readings := []titration.Reading{ // mL, pCa
		{5, 2.44}, {10, 2.60}, {15, 2.81}, {20, 3.15}, {24, 3.87}, {25, 6.36}, {26, 8.85}, {30, 9.54}, {35, 9.85},
	}
	fit, err := run.Fit(context.Background(), readings, titration.Fitting{Standard: 0.003}, titration.FormationConstant("Ca(edta)^2-"))
	if err != nil {
		log.Fatal(err)
	}
	for _, e := range fit.Estimates {
		fmt.Printf("%s: %.3f ± %.3f\n", e.Unknown, e.Value, e.Standard)
	}
	// Output:
	// log K of Ca(edta)^2-: 10.695 ± 0.002
}

// automatic holds readings of an automatic titrator, 50.00 mL of a weak acid with
// 0.1 mol/L sodium hydroxide: D. Harvey, Analytical Chemistry 2.1, 2016, chapter 9,
// a problem on first and second derivatives and Gran's plot. From memory; away from
// equivalence the points agree with one acid of pKa 4.82 to 0.003.
var automatic = []titration.Reading{
	{0.86, 3.2}, {1.63, 3.4}, {2.72, 3.6}, {4.29, 3.8}, {6.54, 4.0}, {9.67, 4.2}, {13.79, 4.4}, {18.83, 4.6}, {24.47, 4.8},
	{30.15, 5.0}, {35.33, 5.2}, {39.62, 5.4}, {42.91, 5.6}, {45.28, 5.8}, {46.91, 6.0}, {48.01, 6.2}, {48.72, 6.4}, {49.19, 6.6},
	{50.40, 10.6}, {50.63, 10.8}, {51.01, 11.0}, {51.61, 11.2}, {52.58, 11.4}, {54.15, 11.6}, {56.73, 11.8}, {61.11, 12.0},
}

// Concentration and acid constant from measured pH.
func ExampleTitration_Fit() {
	sample := vessel(50, map[string]float64{"Hac": 0.08})
	textbook(sample, map[string]float64{"OH-": -14})
	run, err := titration.New(sample, vessel(100, map[string]float64{"Na+": 0.1, "OH-": 0.1}), "H+")
	if err != nil {
		log.Fatal(err)
	}
	how := titration.Fitting{Standard: 0.002, VolumeStandard: 0.003 * measure.Millilitre}
	fit, err := run.Fit(context.Background(), automatic, how, titration.Concentration("Hac"), titration.AcidConstant("Hac"))
	if err != nil {
		log.Fatal(err)
	}
	for _, e := range fit.Estimates {
		fmt.Printf("%s: %.5f, from %.5f to %.5f\n", e.Unknown, e.Value, e.Low, e.High)
	}
	// Output:
	// concentration of Hac: 0.10000, from 0.09999 to 0.10001
	// pKa of Hac: 4.81802, from 4.81700 to 4.81904
}

// The same titration by Gran's straight line, whose slope is −Ka.
func ExampleGran() {
	line, err := titration.Gran(titration.GranWeak, 50*measure.Millilitre, automatic[8:16])
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("equivalence at %.3f ± %.3f mL, pKa %.2f\n", line.EquivalenceML, line.StandardML, -math.Log10(-line.SlopePerML))
	// Output:
	// equivalence at 50.004 ± 0.002 mL, pKa 4.82
}

// The total hardness of a water, and whether the endpoint tells the truth.
func ExampleTitration_Judge() {
	water := vessel(50, map[string]float64{"Ca2+": 0.0015, "Mg2+": 0.0005, "Cl-": 0.004})
	if err := water.HoldPH(10); err != nil {
		log.Fatal(err)
	}
	run, err := titration.New(water, vessel(100, map[string]float64{"Na+": 0.02, "H2edta2-": 0.01}), "Mg2+")
	if err != nil {
		log.Fatal(err)
	}
	equivalence, err := run.Equivalence("Ca2+ + Mg2+ = edta4-")
	if err != nil {
		log.Fatal(err)
	}
	t, err := tables.Standard()
	if err != nil {
		log.Fatal(err)
	}
	verdicts, err := run.Judge(context.Background(), tables.All[tables.Indicator](t), equivalence, 2*equivalence, 0.02)
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

// Hardness by the formula of ASTM D1126, 1000 C/S mg/L as CaCO3 for C mL of 0.01
// mol/L EDTA on S mL of water (rows of testdata/hardness.csv): 250 for 12.5 on 50.
func ExampleTitre_Concentration() {
	t, err := tables.Standard()
	if err != nil {
		log.Fatal(err)
	}
	burette, err := tables.Find[tables.Dispenser](t, "burette 25 mL class A")
	if err != nil {
		log.Fatal(err)
	}
	c, err := titration.Titre{
		Sample:    titration.Aliquot{Volume: 50 * measure.Millilitre},
		Strength:  titration.Result{Value: 0.01, Standard: 0.00002},
		Delivered: titration.Aliquot{Volume: 12.5 * measure.Millilitre, With: burette},
	}.Concentration()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f mg/L as CaCO3, ± %.1f %%\n", tables.Hardness(c.Value).CaCO3(), 100*c.Relative())
	// Output:
	// 250 mg/L as CaCO3, ± 0.3 %
}

// Drops of a calcium solution on a sample of a used bath.
func ExampleResult_Times() {
	t, err := tables.Standard()
	if err != nil {
		log.Fatal(err)
	}
	drops, err := tables.Find[tables.Dispenser](t, "drop bottle")
	if err != nil {
		log.Fatal(err)
	}
	test := titration.Titre{
		Sample:    titration.Aliquot{Volume: 5 * measure.Millilitre, With: tables.Dispenser{Relative: 0.04}},
		Strength:  titration.Result{Value: 0.1, Standard: 0.001}, // mol/L calcium
		Delivered: titration.Aliquot{With: drops}, Drops: 62,
	}
	c, err := test.Concentration()
	if err != nil {
		log.Fatal(err)
	}
	const litres, gramsOfRust = 20, 88.85 // FeO(OH), one to one
	source, share := c.Dominant()
	fmt.Println("free chelant, mol/L:", c)
	fmt.Println("rust it can still take, g:", c.Times(litres*gramsOfRust))
	fmt.Printf("%.0f %% of the variance: %s\n", 100*share, source)
	// Output:
	// free chelant, mol/L: 0.0615 ± 0.0073
	// rust it can still take, g: 109 ± 13
	// 95 % of the variance: size of the drop or scale of the burette
}

// A hardness kit that counts a grain per gallon, 17.1 mg/L as CaCO3, with each drop:
// 22 of them on the water, 13 after a spoonful of bath went into it.
func ExampleKitTest_Concentration() {
	t, err := tables.Standard()
	if err != nil {
		log.Fatal(err)
	}
	grain, err := t.ParseHardness("1 gpg")
	if err != nil {
		log.Fatal(err)
	}
	free, err := titration.KitTest{
		Bath:       titration.Aliquot{Volume: measure.Teaspoon, With: tables.Dispenser{Relative: 0.05}},
		Water:      titration.Aliquot{Volume: 100 * measure.Millilitre},
		WaterDrops: 22, Drops: 13,
		PerDrop: titration.Result{Value: float64(grain), Standard: 0.06 * float64(grain)},
	}.Concentration()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("free chelant, mol/L:", free)
	// Output:
	// free chelant, mol/L: 0.0291 ± 0.0024
}

// How to find 0.05 mol/L to half a per cent.
func ExampleTitre_Schemes() {
	known := titration.Titre{Strength: titration.Result{Value: 1, Standard: 0.002}, Bias: titration.Result{Standard: 0.001}}
	t, err := tables.Standard()
	if err != nil {
		log.Fatal(err)
	}
	schemes, err := known.Schemes(0.05, 0.005, slices.Collect(tables.All[tables.Dispenser](t)), 0.01, 0.1)
	if err != nil {
		log.Fatal(err)
	}
	s := schemes[0]
	source, _ := s.Result.Dominant()
	fmt.Printf("%s, and %.3g mL of %g mol/L from a %s: ±%.1f %%, most of it %s\n", s.SampleWith, s.TitrantML, s.StrengthMolPerLitre, s.With, 100*s.Result.Relative(), source)
	// Output:
	// pipette 10 mL, and 5 mL of 0.1 mol/L from a burette 10 mL class A: ±0.4 %, most of it size of the drop or scale of the burette
}

// The lowest pH at which EDTA holds a metal well enough for a titration, on the
// scale of concentrations that textbooks use: about 1 for iron(III), 4 for zinc, 7.5
// for calcium and 10 for magnesium in the plot of C. N. Reilley & R. W. Schmid,
// Anal. Chem. 30 (1958) 947 (from memory).
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

// 5 mL of a bath with 0.1 mol/L of free EDTA and 0.03 that hold iron(III), at pH 10: done at
// once the calcium finds what is free; left until the hydroxide has settled, nearly all
// 0.13, for the hydroxo complex Fe(OH)2(edta)^3- keeps a little.
func ExamplePredictInterference() {
	beaker := vessel(5, map[string]float64{"Na+": 0.33, "Hedta3-": 0.1, "Fe(edta)-": 0.03})
	if err := errors.Join(beaker.AddPureWater(45*measure.Millilitre), beaker.HoldPH(10)); err != nil {
		log.Fatal(err)
	}
	calcium := vessel(100, map[string]float64{"Ca2+": 0.09, "Mg2+": 0.01, "Cl-": 0.2})
	found, err := titration.PredictInterference(context.Background(), beaker, 5*measure.Millilitre, calcium, indicatorOf("calmagite"))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("at once %.3f mol/L, after the iron has settled %.3f mol/L\n", *found.QuickMolPerLitre, *found.SlowMolPerLitre)
	// Output:
	// at once 0.100 mol/L, after the iron has settled 0.126 mol/L
}
