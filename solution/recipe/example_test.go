package recipe_test

import (
	"fmt"
	"log"

	"gonum.org/v1/gonum/unit"

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
