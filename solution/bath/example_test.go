package bath_test

import (
	"fmt"
	"log"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
	"example.com/chelation/tables"
)

// demo returns the tool library's recipe, its tables and the oxide of fresh
// rust.
func demo() (bath.Recipe, *tables.Tables, bath.Oxide) {
	t, err := tables.Standard()
	if err != nil {
		log.Fatal(err)
	}
	tap, _ := t.Water("moderately hard tap water")
	salt, _ := t.Reagent("tetrasodium EDTA tetrahydrate")
	acid, _ := t.Reagent("citric acid")
	rust, err := bath.FindOxide(t, "lepidocrocite")
	if err != nil {
		log.Fatal(err)
	}
	return bath.Recipe{
		Water: tap, Volume: 0.020, Temperature: chem.Celsius(20),
		Chelant: salt, Amount: measure.AmountOfMass(0.5), Acid: acid, PH: 7,
	}, t, rust
}

// Four answers to one question, in grams of rust.
func ExampleBath_Capacities() {
	recipe, t, rust := demo()
	tub, err := recipe.Mix(t)
	if err != nil {
		log.Fatal(err)
	}
	c, err := tub.Capacities(rust, 7)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("by chelant %.0f g, held at pH 7 %.0f g, left alone %.0f g, in practice %.0f g\n",
		c.Chelant.Rust, c.Equilibrium.Rust, c.Proton.Rust, c.Practical.Rust)
	// Output:
	// by chelant 96 g, held at pH 7 97 g, left alone 54 g, in practice 72 g
}

// Why pH 11 does not clean: iron per chelant at a held pH.
func ExampleBath_Window() {
	recipe, t, _ := demo()
	tub, err := recipe.Mix(t)
	if err != nil {
		log.Fatal(err)
	}
	oxides, err := bath.CommonOxides(t)
	if err != nil {
		log.Fatal(err)
	}
	window, err := tub.Window(oxides, 7, 11, 2)
	if err != nil {
		log.Fatal(err)
	}
	for _, l := range window {
		fmt.Printf("%-13s pH %2.0f  %.2f\n", l.Oxide, l.PH, l.Share)
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
	recipe, t, rust := demo()
	tub, err := recipe.Mix(t)
	if err != nil {
		log.Fatal(err)
	}
	drift, err := tub.Drift(rust, 3)
	if err != nil {
		log.Fatal(err)
	}
	for _, p := range drift {
		fmt.Printf("%2.0f g of rust: pH %4.1f, %3.0f %% of the chelant free\n", p.Rust, p.PH, 100*p.FreeShare)
	}
	// Output:
	//  0 g of rust: pH  7.0,  98 % of the chelant free
	// 18 g of rust: pH  8.2,  80 % of the chelant free
	// 36 g of rust: pH  9.1,  62 % of the chelant free
	// 54 g of rust: pH 10.2,  43 % of the chelant free
}

// How much acid to add, and after how many parts.
func ExampleBath_Upkeep() {
	recipe, t, rust := demo()
	tub, err := recipe.Mix(t)
	if err != nil {
		log.Fatal(err)
	}
	u, err := tub.Upkeep(recipe.Acid, rust, 7, 0.5)
	if err != nil {
		log.Fatal(err)
	}
	text, err := u.Parts(2)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(text)
	fmt.Printf("%.2f g of acid for a gram of rust\n", u.PerGram)
	// Output:
	// Add 7 g (about 1 1/2 level teaspoons + 1/8 teaspoon) of Citric acid, anhydrous after every 4 parts of 2 g of rust each, when the pH has risen from 7.0 to about 7.5.
	// 0.87 g of acid for a gram of rust
}

// A dead bath is often only alkaline.
func ExampleBath_Diagnose() {
	recipe, t, rust := demo()
	tub, err := recipe.Mix(t)
	if err != nil {
		log.Fatal(err)
	}
	if err := tub.Dissolve(rust, 50); err != nil { // g
		log.Fatal(err)
	}
	d, err := tub.Diagnose(recipe.Acid, rust, 7)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%s at pH %.1f, %.0f %% of the chelant free; add %.0f g of acid\n", d.Cause, d.PH, 100*d.Free, d.Acid.MassGrams)
	// Output:
	// drifted at pH 9.9, 47 % of the chelant free; add 45 g of acid
}

// What another starting pH would do, if nobody adds acid later.
func ExampleRecipe_Starts() {
	recipe, t, rust := demo()
	starts, err := recipe.Starts(t, rust, 8, 7, 6, 5)
	if err != nil {
		log.Fatal(err)
	}
	for _, s := range starts {
		fmt.Printf("pH %.0f: %3.0f g of acid, %3.0f g of rust, ends at %.1f\n", s.PH, s.Acid, s.Proton.Rust, s.EndPH)
	}
	// Output:
	// pH 8:  70 g of acid,  45 g of rust, ends at 10.3
	// pH 7:  83 g of acid,  54 g of rust, ends at 10.2
	// pH 6: 128 g of acid,  86 g of rust, ends at 9.8
	// pH 5: 206 g of acid, 108 g of rust, ends at 6.6
}

// What bare steel can cost at most.
func ExampleBath_Redox() {
	recipe, t, rust := demo()
	tub, err := recipe.Mix(t)
	if err != nil {
		log.Fatal(err)
	}
	if err := tub.Dissolve(rust, 50); err != nil {
		log.Fatal(err)
	}
	r, err := tub.Redox()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("covered: %.0f g of steel and %.0f %% of the chelant; open to air: %.0f g and %.0f %%\n",
		r.Covered.Steel, 100*r.Covered.Share, r.Aired.Steel, 100*r.Aired.Share)
	// Output:
	// covered: 16 g of steel and 26 % of the chelant; open to air: 29 g and 47 %
}

// Which metals this bath can dissolve.
func ExampleMetals() {
	recipe, t, _ := demo()
	tub, err := recipe.Mix(t)
	if err != nil {
		log.Fatal(err)
	}
	metals, err := bath.Metals(tub)
	if err != nil {
		log.Fatal(err)
	}
	for _, m := range metals {
		if m.Metal == "zinc" || m.Metal == "copper" {
			fmt.Printf("%s: with hydrogen %v, by iron(III) %v\n", m.Metal, m.Hydrogen, m.Iron > 0)
		}
	}
	// Output:
	// zinc: with hydrogen true, by iron(III) true
	// copper: with hydrogen false, by iron(III) true
}

// None of these makes the water fit for a drain.
func ExampleRecoveries() {
	recipe, t, rust := demo()
	tub, err := recipe.Mix(t)
	if err != nil {
		log.Fatal(err)
	}
	if err := tub.Dissolve(rust, 50); err != nil {
		log.Fatal(err)
	}
	acid, _ := t.Reagent("muriatic acid")
	lye, _ := t.Reagent("lye")
	ways, err := bath.Recoveries(tub, acid, lye)
	if err != nil {
		log.Fatal(err)
	}
	for _, w := range ways {
		fmt.Printf("%s: %.0f g EDTA acid and %.0f g hydroxide settle, %.0f g/L EDTA stay\n", w.Name, w.Acid, w.Hydroxide, w.Chelant/1000)
	}
	// Output:
	// acidify: 152 g EDTA acid and 0 g hydroxide settle, 8 g/L EDTA stay
	// make alkaline: 0 g EDTA acid and 60 g hydroxide settle, 16 g/L EDTA stay
	// leave open to the air: 0 g EDTA acid and 0 g hydroxide settle, 16 g/L EDTA stay
}

// How much rust a year in a shed leaves on half a square metre, and what
// brushing it off first saves.
func ExampleLayer_Load() {
	recipe, t, _ := demo()
	rust, _ := t.Rust("fresh orange rust")
	shed, _ := t.Corrosivity("C2")
	layer, err := bath.LayerOfYears(shed, rust, 1)
	if err != nil {
		log.Fatal(err)
	}
	load, err := layer.Load(0.5, rust.Adherence, recipe.Chelant, 0.054)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f g of iron take %.0f L of bath; brushed first, %.0f L\n", load.Iron.Typical, load.LitresUnbrushed, load.Litres)
	// Output:
	// 32 g of iron take 14 L of bath; brushed first, 4 L
}

// A vise of 12 kg in a box.
func ExampleTub_Cover() {
	box, err := bath.Box(0.50, 0.35, 0.25) // m
	if err != nil {
		log.Fatal(err)
	}
	fill, err := box.Cover(bath.SteelPart(12, 0.12), 0.02)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f L cover it; they stand %.0f mm deep, %.0f mm without it\n", fill.Litres, 1000*fill.With, 1000*fill.Without)
	// Output:
	// 23.0 L cover it; they stand 140 mm deep, 131 mm without it
}

// What another acid would do.
func ExampleRecipe_Compare() {
	recipe, t, rust := demo()
	muriatic, _ := t.Reagent("muriatic acid")
	ways, err := recipe.Compare(t, rust, bath.Choice{}, bath.Choice{Acid: muriatic})
	if err != nil {
		log.Fatal(err)
	}
	for _, w := range ways {
		fmt.Printf("%s: %.0f g first, %.0f g to hold the pH (%s)\n", w.Acid, w.Dose, w.KeptAcid, w.Signal)
	}
	// Output:
	// Citric acid, anhydrous: 83 g first, 62 g to hold the pH (warning)
	// Muriatic acid, 31.45 %: 147 g first, 111 g to hold the pH (danger)
}

// shedRust is light fresh rust on half a square metre of hand tools.
func shedRust(t *tables.Tables, o bath.Oxide) bath.Dip {
	rust, _ := t.Rust("fresh orange rust")
	layer, err := bath.LayerOfThickness(rust, 25e-6) // m
	if err != nil {
		log.Fatal(err)
	}
	return bath.Dip{Rust: rust, Layer: layer, Area: 0.5, Oxide: o, Held: true}
}

// How long it takes, before anything was seen and after.
func ExamplePace() {
	recipe, t, rust := demo()
	tub, err := recipe.Mix(t)
	if err != nil {
		log.Fatal(err)
	}
	pace, err := bath.NewPace(t)
	if err != nil {
		log.Fatal(err)
	}
	dip := shedRust(t, rust)
	time, err := pace.Time(tub, dip)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(time.Text)

	pace, err = pace.Seen(tub, dip, 4*3600, 0.5) // s; half of it gone
	if err != nil {
		log.Fatal(err)
	}
	pace, err = pace.Seen(tub, dip, 12*3600, 1) // clean
	if err != nil {
		log.Fatal(err)
	}
	if time, err = pace.Time(tub, dip); err != nil {
		log.Fatal(err)
	}
	fmt.Println(time.Text)
	// Output:
	// About 15 hours; nine in ten such parts take between 5 hours and 2 days. Look after 5 hours, and take each part out when it is clean.
	// About 12 hours; nine in ten such parts take between 6 hours and 1 day. Look after 6 hours, and take each part out when it is clean.
}

// What would shorten it. A stronger bath is not among it.
func ExamplePace_Levers() {
	recipe, t, rust := demo()
	tub, err := recipe.Mix(t)
	if err != nil {
		log.Fatal(err)
	}
	pace, err := bath.NewPace(t)
	if err != nil {
		log.Fatal(err)
	}
	levers, err := pace.Levers(tub, shedRust(t, rust))
	if err != nil {
		log.Fatal(err)
	}
	for _, l := range levers {
		if !l.Laboratory {
			fmt.Printf("%.1f times faster: %s\n", l.Faster.Typical, l.Do)
		}
	}
	// Output:
	// 4.4 times faster: Warm the bath to 35 °C.
	// 3.0 times faster: Scrub between dips, and brush off what has come loose.
	// 1.9 times faster: Scrape and brush before the bath.
	// 1.6 times faster: Bring it a pH unit lower and keep it there.
	// 1.0 times faster: Make it half as strong again, at the same pH.
	// 1.0 times faster: Pump or stir it all the time, without bubbling air.
	// 1.0 times faster: Lift or turn the parts every hour or so.
}

// The most iron that diffusion lets through half a millimetre of still liquid.
func ExampleDiffusionLimit() {
	j, err := bath.DiffusionLimit(0.5e-3, 5e-10, 0.03) // m, m²/s, mol/L
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f g of iron per m² and day\n", j*55.845*86400)
	// Output:
	// 145 g of iron per m² and day
}

// 84 kJ/mol make rust go three times faster in a bath that is 10 °C warmer.
func ExampleArrhenius() {
	f, err := bath.Arrhenius(84, chem.Celsius(20), chem.Celsius(30))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f\n", f)
	// Output:
	// 3.1
}

// What a recipe is good for.
func ExampleRecipe_Outlook() {
	recipe, t, _ := demo()
	x, err := recipe.Outlook(t)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("left alone %.0f g of rust, held %.0f g; light rust in %s\n", x.Alone.Rust, x.Held.Rust, bath.RoughTime(x.Light.Hours.Typical))
	// Output:
	// left alone 54 g of rust, held 97 g; light rust in 18 hours
}
