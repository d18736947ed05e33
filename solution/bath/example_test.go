package bath_test

import (
	"fmt"
	"log"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
)

// Four answers to one question, in grams of rust.
func ExampleBath_Capacities() {
	r, t, oxide := demo.Library()
	tub, err := r.Mix(t)
	if err != nil {
		log.Fatal(err)
	}
	c, err := tub.Capacities(oxide, 7)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("by chelant %.0f g, held at pH 7 %.0f g, left alone %.0f g, in practice %.0f g\n",
		c.Chelant.RustGrams, c.Equilibrium.RustGrams, c.Proton.RustGrams, c.Practical.RustGrams)
	// Output:
	// by chelant 96 g, held at pH 7 97 g, left alone 54 g, in practice 72 g
}

// Why pH 11 does not clean: iron per chelant at a held pH.
func ExampleBath_Limit() {
	r, t, _ := demo.Library()
	tub, err := r.Mix(t)
	if err != nil {
		log.Fatal(err)
	}
	oxides, err := bath.CommonOxides(t)
	if err != nil {
		log.Fatal(err)
	}
	for _, o := range oxides {
		for _, pH := range []float64{7, 9, 11} {
			l, err := tub.Limit(o, pH)
			if err != nil {
				log.Fatal(err)
			}
			fmt.Printf("%-13s pH %2.0f  %.2f\n", l.Oxide, l.PH, l.IronPerChelant)
		}
	}
	// Output:
	// ferrihydrite  pH  7  1.23
	// ferrihydrite  pH  9  0.98
	// ferrihydrite  pH 11  0.71
	// lepidocrocite pH  7  0.99
	// lepidocrocite pH  9  0.98
	// lepidocrocite pH 11  0.01
	// goethite      pH  7  0.98
	// goethite      pH  9  0.76
	// goethite      pH 11  0.00
}

// The bath climbs as it works.
func ExampleBath_Drift() {
	r, t, oxide := demo.Library()
	tub, err := r.Mix(t)
	if err != nil {
		log.Fatal(err)
	}
	drift, err := tub.Drift(oxide, 3)
	if err != nil {
		log.Fatal(err)
	}
	for _, p := range drift {
		fmt.Printf("%2.0f g of rust: pH %4.1f, %3.0f %% of the chelant free\n", p.RustGrams, p.PH, 100*p.FreeChelantFraction)
	}
	// Output:
	//  0 g of rust: pH  7.0,  98 % of the chelant free
	// 18 g of rust: pH  8.2,  80 % of the chelant free
	// 36 g of rust: pH  9.1,  62 % of the chelant free
	// 54 g of rust: pH 10.2,  43 % of the chelant free
}

// How much acid to add, and after how many parts.
func ExampleBath_Upkeep() {
	r, t, oxide := demo.Library()
	tub, err := r.Mix(t)
	if err != nil {
		log.Fatal(err)
	}
	u, err := tub.Upkeep(r.Acid, oxide, 7, 0.5)
	if err != nil {
		log.Fatal(err)
	}
	text, err := u.Parts(r.Acid, 2*measure.Gram)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(text)
	fmt.Printf("%.2f g of acid for a gram of rust\n", u.AcidPerRustGram)
	// Output:
	// Add 7 g (about 1 1/2 level teaspoons + 1/8 teaspoon) of Citric acid, anhydrous after every 4 parts of 2 g of rust each, when the pH has risen from 7.0 to about 7.5.
	// 0.87 g of acid for a gram of rust
}

// A dead bath is often only alkaline.
func ExampleBath_Diagnose() {
	r, t, oxide := demo.Library()
	tub, err := r.Mix(t)
	if err != nil {
		log.Fatal(err)
	}
	if err := tub.Dissolve(oxide, 50*measure.Gram); err != nil {
		log.Fatal(err)
	}
	d, err := tub.Diagnose(r.Acid, oxide, 7)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%s at pH %.1f, %.0f %% of the chelant free; add %.0f g of acid\n", d.Cause, d.PH, 100*d.FreeChelantFraction, d.Acid.MassGrams)
	// Output:
	// drifted at pH 9.9, 47 % of the chelant free; add 45 g of acid
}

// What bare steel can cost at most.
func ExampleBath_Redox() {
	r, t, oxide := demo.Library()
	tub, err := r.Mix(t)
	if err != nil {
		log.Fatal(err)
	}
	if err := tub.Dissolve(oxide, 50*measure.Gram); err != nil {
		log.Fatal(err)
	}
	x, err := tub.Redox()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("covered: %.0f g of steel and %.0f %% of the chelant; open to air: %.0f g and %.0f %%\n",
		x.Covered.SteelGrams, 100*x.Covered.ChelantFraction, x.Aired.SteelGrams, 100*x.Aired.ChelantFraction)
	// Output:
	// covered: 16 g of steel and 26 % of the chelant; open to air: 29 g and 47 %
}
