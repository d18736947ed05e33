package bath_test

import (
	"fmt"
	"log"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/tables"
)

// check ends an example that cannot go on.
func check(err error) {
	if err != nil {
		log.Fatal(err)
	}
}

// library is the bath of the tool library, the acid it was mixed with, and the oxide
// of fresh rust.
func library() (*bath.Bath, tables.Reagent, bath.Oxide) {
	r, t, oxide := demo.Library()
	tub, err := r.Mix(t)
	check(err)
	return tub, r.Acid, oxide
}

// Four answers to one question, in grams of rust.
func ExampleBath_Capacities() {
	tub, _, oxide := library()
	c, err := tub.Capacities(oxide, 7)
	check(err)
	fmt.Printf("by chelant %.0f g, held at pH 7 %.0f g, left alone %.0f g, in practice %.0f g\n",
		c.Chelant.RustGrams, c.Equilibrium.RustGrams, c.Proton.RustGrams, c.Practical.RustGrams)
	// Output:
	// by chelant 96 g, held at pH 7 114 g, left alone 70 g, in practice 72 g
}

// Never adjusted, or held at pH 7: the same salt.
func ExampleBath_LeftAlone() {
	tub, _, oxide := library()
	for _, pH := range []float64{11, 7} {
		at, err := tub.At(pH)
		check(err)
		alone, end, err := at.LeftAlone(oxide)
		check(err)
		held, err := at.Held(oxide, pH)
		check(err)
		fmt.Printf("from pH %.0f: %.0f g of rust left alone, ending at pH %.1f; %.0f g held there\n", pH, alone.RustGrams, end, held.RustGrams)
	}
	// Output:
	// from pH 11: 5 g of rust left alone, ending at pH 11.5; 14 g held there
	// from pH 7: 70 g of rust left alone, ending at pH 10.2; 114 g held there
}

// 0.1 mol/L of a chelant that binds one to one holds 5.58 g of iron a litre, 8.89 g
// as FeO(OH): arithmetic.
func ExampleIronCapacity() {
	c := bath.IronCapacity(0.1)
	fmt.Printf("%.2f g of iron, %.2f g of rust\n", c.IronGrams, c.RustGrams)
	// Output:
	// 5.58 g of iron, 8.89 g of rust
}

// The iron of the ore minerals as handbooks print it: goethite 62.85 %, hematite
// 69.94 %, magnetite 72.36 % (arithmetic).
func ExampleFindOxide() {
	_, t, _ := demo.Library()
	for _, name := range []string{"goethite", "hematite", "magnetite"} {
		o, err := bath.FindOxide(t, name)
		check(err)
		fmt.Printf("%s %s: %.2f %% iron\n", o.Name, o.Species, 100*bath.IronMolarMass/o.Grams(1))
	}
	// Output:
	// goethite FeOOH(s, goethite): 62.85 % iron
	// hematite Fe2O3(s, hematite): 69.94 % iron
	// magnetite Fe3O4(s, magnetite): 72.36 % iron
}

// What holds the chelants of a bath after some rust.
func ExampleHoldingsOf() {
	tub, _, oxide := library()
	check(tub.Dissolve(oxide, 40*measure.Gram))
	st, err := tub.State()
	check(err)
	for _, h := range bath.HoldingsOf(st) {
		fmt.Printf("%s, %.2f mol: %.2f with iron, %.2f with hardness, %.2f free\n", h.Chelant, h.TotalMoles, h.IronMoles, h.HardnessMoles, h.FreeMoles)
	}
	// Output:
	// edta4-, 1.09 mol: 0.44 with iron, 0.02 with hardness, 0.64 free
	// cit3-, 0.42 mol: 0.02 with iron, 0.00 with hardness, 0.41 free
}

// Why pH 11 does not clean: iron per chelant at a held pH.
func ExampleBath_Limit() {
	tub, _, _ := library()
	oxides, err := bath.CommonOxides(tub.Tables())
	check(err)
	for _, o := range oxides {
		for _, pH := range []float64{7, 9, 11} {
			l, err := tub.Limit(o, pH)
			check(err)
			fmt.Printf("%-13s pH %2.0f  %.2f\n", l.Oxide, l.PH, l.IronPerChelant)
		}
	}
	// Output:
	// ferrihydrite  pH  7  1.19
	// ferrihydrite  pH  9  1.17
	// ferrihydrite  pH 11  0.99
	// lepidocrocite pH  7  1.17
	// lepidocrocite pH  9  1.11
	// lepidocrocite pH 11  0.15
	// goethite      pH  7  1.14
	// goethite      pH  9  0.80
	// goethite      pH 11  0.00
}

// The bath climbs as it works.
func ExampleBath_Drift() {
	tub, _, oxide := library()
	drift, err := tub.Drift(oxide, 3)
	check(err)
	for _, p := range drift {
		fmt.Printf("%2.0f g of rust: pH %4.1f, %3.0f %% of the chelant free\n", p.RustGrams, p.PH, 100*p.FreeChelantFraction)
	}
	// Output:
	//  0 g of rust: pH  7.0,  98 % of the chelant free
	// 23 g of rust: pH  8.6,  75 % of the chelant free
	// 47 g of rust: pH  9.5,  52 % of the chelant free
	// 70 g of rust: pH 10.2,  31 % of the chelant free
}

// How much acid to add, and after how many parts.
func ExampleBath_Upkeep() {
	tub, acid, oxide := library()
	u, err := tub.Upkeep(acid, oxide, 7, 0.5)
	check(err)
	text, err := u.Parts(acid, 2*measure.Gram)
	check(err)
	fmt.Println(text)
	fmt.Printf("%.2f g of acid for a gram of rust\n", u.AcidPerRustGram)
	// Output:
	// Add 7 g (about 1 1/2 level teaspoons + 1/8 teaspoon) of Citric acid, anhydrous after every 4 parts of 2 g of rust each, when the pH has risen from 7.0 to about 7.5. Doses for pH 7.0: now 7 g, for good 8.2 g, advised 7 g.
	// 0.87 g of acid for a gram of rust
}

// A dead bath is often only alkaline.
func ExampleBath_Diagnose() {
	tub, acid, oxide := library()
	check(tub.Dissolve(oxide, 50*measure.Gram))
	d, err := tub.Diagnose(oxide, 7, acid)
	check(err)
	fmt.Printf("%s at pH %.1f, %.0f %% of the chelant free; add %.0f g of acid\n", d.Cause, d.PH, 100*d.FreeChelantFraction, d.Remedy.MassGrams)
	// Output:
	// drifted at pH 9.6, 49 % of the chelant free; add 46 g of acid
}

// What bare steel can cost: once what the iron(III) in the bath takes, and each day
// what the air adds.
func ExampleBath_Redox() {
	tub, _, oxide := library()
	check(tub.Dissolve(oxide, 50*measure.Gram))
	for _, cover := range []bath.Cover{bath.Lidded, bath.Still, bath.Bubbled} {
		check(tub.Stand(bath.Place{Cover: cover}))
		x, err := tub.Redox()
		check(err)
		fmt.Printf("%s: %.0f g of steel, and %.0f g a day (%.0f to %.0f)\n", cover, x.InBath.SteelGrams,
			x.SteelByAirGramsPerDay.Typical, x.SteelByAirGramsPerDay.Low, x.SteelByAirGramsPerDay.High)
	}
	// Output:
	// lidded: 16 g of steel, and 0 g a day (0 to 0)
	// still: 16 g of steel, and 6 g a day (2 to 12)
	// bubbled: 16 g of steel, and 122 g a day (48 to 186)
}

// 2 Fe(III) + Fe = 3 Fe(II): iron(III) eats half its mass of steel and ends as half as
// much again of iron(II), which air turns back.
func ExampleBath_Corrode() {
	tub, _, oxide := library()
	check(tub.Dissolve(oxide, 32*measure.Gram)) // 20.1 g of iron
	show := func() {
		x, err := tub.Redox()
		check(err)
		fmt.Printf("%.3f mol of iron(III), %.3f mol of iron(II)\n", x.FerricMoles, x.FerrousMoles)
	}
	show()
	check(tub.Corrode(10.06 * measure.Gram))
	show()
	check(tub.Air())
	show()
	// Output:
	// 0.360 mol of iron(III), 0.000 mol of iron(II)
	// 0.000 mol of iron(III), 0.540 mol of iron(II)
	// 0.540 mol of iron(III), 0.000 mol of iron(II)
}

// A gram of zinc, 65.38 g/mol, takes the chelant of 0.85 g of iron, 55.85 g/mol.
func ExampleBath_Strip() {
	tub, _, _ := library()
	before, err := tub.Holdings()
	check(err)
	check(tub.Strip("zinc", 10*measure.Gram))
	after, err := tub.Holdings()
	check(err)
	lost := before.Counted().Free() - after.Counted().Free()
	fmt.Printf("%.1f g of iron fewer\n", bath.IronCapacity(unit.Mole(lost)).IronGrams)
	// Output:
	// 8.5 g of iron fewer
}

// A night without a lid: 0.2 m² of bare steel forgotten in a used bath for 12 hours.
func ExampleBath_Attack() {
	tub, _, oxide := library()
	check(tub.Dissolve(oxide, 30*measure.Gram))
	for _, cover := range []bath.Cover{bath.Lidded, bath.Still, bath.Bubbled} {
		check(tub.Stand(bath.Place{Cover: cover}))
		loss, err := tub.Attack(0.2*measure.SquareMetre, 12*measure.Hour)
		check(err)
		fmt.Printf("%s: %.0f g of steel, %.0f to %.0f g\n", cover, loss.Typical, loss.Low, loss.High)
	}
	// Output:
	// lidded: 3 g of steel, 2 to 5 g
	// still: 3 g of steel, 2 to 6 g
	// bubbled: 18 g of steel, 10 to 30 g
}

// Two days of a bath with bare steel in it: the first with the lid off, the second with
// the steel out and the lid on.
func ExampleBath_Course() {
	tub, _, oxide := library()
	check(tub.Dissolve(oxide, 30*measure.Gram))
	check(tub.Stand(bath.Place{Cover: bath.Still}))
	course, err := tub.Course(bath.Parts{BareSteelCm2: 2000})
	check(err)
	tell := func(to unit.Time) {
		hours, err := course.Until(to)
		check(err)
		h := hours[0]
		fmt.Printf("after %.0f h pH %.1f (%.1f to %.1f), steel lost %.0f g, free chelant %.2f mol\n", h.Hours, h.PH.Typical, h.PH.Low, h.PH.High,
			h.SteelLostGrams.Typical, h.FreeMoles.Typical)
	}
	tell(24 * measure.Hour)
	check(course.Do(func(b *bath.Bath, p *bath.Parts) error {
		p.BareSteelCm2 = 0
		return b.Stand(bath.Place{})
	}))
	tell(48 * measure.Hour)
	// Output:
	// after 24 h pH 8.9 (8.9 to 9.0), steel lost 6 g, free chelant 0.63 mol
	// after 48 h pH 8.9 (8.9 to 9.0), steel lost 6 g, free chelant 0.63 mol
}

// What has come down stays behind on the filter; the pH does not move.
func ExampleBath_Filter() {
	tub, _, _ := library()
	fresh, err := bath.FindOxide(tub.Tables(), "ferrihydrite")
	check(err)
	check(tub.Dissolve(fresh, 400*measure.Gram)) // three times what it can hold
	for range 2 {
		st, err := tub.State()
		check(err)
		settled := 0.0
		for _, s := range st.Solids {
			settled += s.Moles
		}
		fmt.Printf("pH %.2f, %.2f mol of solids\n", st.PH, settled)
		check(tub.Filter())
	}
	// Output:
	// pH 10.88, 2.62 mol of solids
	// pH 10.88, 0.00 mol of solids
}

// Fe(III)edta loses a proton with pKa 7.39 at I = 0.1 (Martell, Smith & Motekaitis,
// NIST SRD 46, row 108646): dilute enough not to pair up, it is half hydroxide there.
func ExampleBath_At() {
	_, t, _ := demo.Library()
	v, err := solution.New(t, chem.Celsius(25))
	check(err)
	check(v.AddPureWater(measure.Litre))
	check(v.AddSpecies("Fe(edta)-", 1e-5))
	check(v.AddSpecies("K+", 0.1+1e-5))
	check(v.AddSpecies("Cl-", 0.1))
	tub, err := bath.New(t, v)
	check(err)
	at, err := tub.At(7.39 + chem.DebyeHuckel(0.1, chem.Celsius(25))) // as a meter reads it
	check(err)
	st, err := at.State()
	check(err)
	for _, d := range st.Species {
		if d.MolPerLitre > 1e-6 && d.MolPerLitre < 1e-5 {
			fmt.Printf("%.0f µmol/L of %s\n", 1e6*d.MolPerLitre, d.Species)
		}
	}
	// Output:
	// 5 µmol/L of Na+
	// 5 µmol/L of Fe(edta)-
	// 5 µmol/L of Fe(OH)(edta)^2-
}
