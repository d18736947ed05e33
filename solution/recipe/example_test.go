package recipe_test

import (
	"fmt"
	"log"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/solution/rust"
)

// What another starting pH would do, if nobody adds acid later.
func ExampleRecipe_Try() {
	r, t, oxide := demo.Library()
	var at []recipe.Recipe
	for _, r.PH = range []float64{8, 7, 6, 5} {
		at = append(at, r)
	}
	starts, err := r.Try(t, oxide, at...)
	if err != nil {
		log.Fatal(err)
	}
	for _, s := range starts {
		fmt.Printf("pH %.0f: %3.0f g of acid, %3.0f g of rust, ends at %.1f\n", s.PH, s.Acid.MassGrams, s.LeftAlone.RustGrams, s.EndPH)
	}
	// Output:
	// pH 8:  70 g of acid,  62 g of rust, ends at 10.3
	// pH 7:  82 g of acid,  70 g of rust, ends at 10.2
	// pH 6: 127 g of acid, 100 g of rust, ends at 9.8
	// pH 5: 206 g of acid, 142 g of rust, ends at 6.9
}

// A vise of 12 kg in a box.
func ExampleTub_Cover() {
	base := [2]unit.Length{0.50, 0.35}
	box := recipe.Tub{Bottom: base, Rim: base, Height: 0.25} // m
	fill, err := box.Cover(recipe.SteelPart(12, 0.12), 0.02)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f L cover it; they stand %.0f mm deep, %.0f mm without it\n", fill.BathLitres, 10*fill.LevelWithPartCM, 10*fill.LevelWithoutPartCM)
	// Output:
	// 23.0 L cover it; they stand 140 mm deep, 131 mm without it
}

// What another acid would do.
func ExampleRecipe_Try_acids() {
	r, t, oxide := demo.Library()
	muriatic, _ := t.Reagent("muriatic acid")
	other := r
	other.Acid = muriatic
	ways, err := r.Try(t, oxide, r, other)
	if err != nil {
		log.Fatal(err)
	}
	for _, w := range ways {
		fmt.Printf("%s: %.0f g first, %.0f g to hold the pH (%s)\n", w.Acid.Name, w.Acid.MassGrams, w.Keeper.MassGrams, w.Signal)
	}
	// Output:
	// Citric acid, anhydrous: 82 g first, 66 g to hold the pH (warning)
	// Muriatic acid, 31.45 %: 146 g first, 111 g to hold the pH (danger)
}

// What a recipe is good for.
func ExampleRecipe_Outlook() {
	r, t, _ := demo.Library()
	x, err := r.Outlook(t)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("left alone %.0f g of rust, held %.0f g; light rust in %s\n", x.LeftAlone.RustGrams, x.Held.RustGrams, rust.RoughTime(x.Light.Hours.Typical))
	// Output:
	// left alone 70 g of rust, held 114 g; light rust in 18 hours
}

// A litre tried in a jar before the tub is filled.
func ExampleRecipe_Scale() {
	r, t, _ := demo.Library()
	jar, err := r.Scale(measure.Litre)
	if err != nil {
		log.Fatal(err)
	}
	plan, err := jar.Plan(t)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f g of salt, %.1f g of acid\n", plan.Chelant.MassGrams, plan.Acid.MassGrams)
	// Output:
	// 25 g of salt, 4.1 g of acid
}

// Two litres left on the parts and one into the air: a tenth of salt and acid goes in again.
func ExampleRecipe_TopUp() {
	r, t, _ := demo.Library()
	up, err := r.TopUp(t, 2*measure.Litre, measure.Litre)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f L of water, %.0f g of salt, %.1f g of acid\n", up.WaterLitres, up.Chelant.MassGrams, up.Acid.MassGrams)
	// Output:
	// 3.0 L of water, 49 g of salt, 8.1 g of acid
}

// A small bag against a large one, by the rust that their EDTA takes: 1 mol of it in 457 g
// as sold, and three quarters of a mole of rust, 66.6 g, for each (arithmetic).
func ExampleCompareBags() {
	r, _, _ := demo.Library()
	var prices []recipe.Price
	for _, text := range []string{"£9 per kg", "£5.50/lb"} {
		p, err := recipe.ParsePrice(text)
		if err != nil {
			log.Fatal(err)
		}
		prices = append(prices, p)
	}
	bags, err := recipe.CompareBags(r.Chelant, prices...)
	if err != nil {
		log.Fatal(err)
	}
	for _, b := range bags {
		fmt.Printf("%s: %.2f per kg, %.2f per kg of rust\n", b.Price, b.PerKg, b.PerKgRust)
	}
	// Output:
	// £9 per kg: 9.00 per kg, 61.69 per kg of rust
	// £5.50/lb: 12.13 per kg, 83.12 per kg of rust
}

// A bath that is bought: 5 L at 20 whose maker claims 45 g of rust, against light fresh rust.
func ExampleTermsOf() {
	_, t, _ := demo.Library()
	_, light, err := rust.Light(t)
	if err != nil {
		log.Fatal(err)
	}
	terms, err := recipe.TermsOf(20, 5*measure.Litre, 45*measure.Gram, light)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f a litre, %.0f per kg of rust, %.0f for each m²\n", terms.PerLitre, terms.PerKgRust, terms.PerM2)
	// Output:
	// 4 a litre, 444 per kg of rust, 23 for each m²
}

// A panel too large for any tub, under a wet cloth.
func ExampleWet() {
	r, t, oxide := demo.Library()
	b, err := r.Mix(t)
	if err != nil {
		log.Fatal(err)
	}
	_, light, err := rust.Light(t)
	if err != nil {
		log.Fatal(err)
	}
	sheet, err := recipe.Wet(b, oxide, 7, light, measure.SquareMetre)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f L of bath take %.0f g of rust: %.0f fillings\n", sheet.BathLitres.Typical, sheet.RustGrams.Typical, sheet.Rounds.Typical)
	// Output:
	// 1.0 L of bath take 4 g of rust: 15 fillings
}
