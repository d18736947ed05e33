package rust_test

import (
	"fmt"
	"log"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

// check ends an example that cannot go on.
func check(err error) {
	if err != nil {
		log.Fatal(err)
	}
}

// freshRust is the rust of the examples.
func freshRust() tables.Rust {
	_, t, _ := demo.Library()
	r, err := t.Rust("fresh orange rust")
	check(err)
	return r
}

// toolLibrary is the bath of the tool library and light fresh rust on half a square
// metre of hand tools.
func toolLibrary() (*bath.Bath, *rust.Pace, rust.Dip) {
	r, t, oxide := demo.Library()
	tub, err := r.Mix(t)
	check(err)
	layer, err := rust.LayerOfThickness(freshRust(), 25*measure.Micrometre)
	check(err)
	pace, err := rust.NewPace(t)
	check(err)
	return tub, pace, rust.Dip{Rust: freshRust(), Layer: layer, Area: 0.5 * measure.SquareMetre, Oxide: oxide, Held: true}
}

// ISO 9223:2012 gives what carbon steel loses in the first year, in C2 at most 200
// g/m²; ISO 9224:2012 lets it grow with years^0.523, which makes 3.33 times as much
// of ten years, 667 g/m² (from memory).
func ExampleLayerOfYears() {
	_, t, _ := demo.Library()
	shed, err := t.Corrosivity("C2")
	check(err)
	for _, years := range []float64{1, 10} {
		l, err := rust.LayerOfYears(shed, freshRust(), years)
		check(err)
		fmt.Printf("%s: at most %.0f g of iron per m²\n", l.Name, l.IronGramsPerM2.High)
	}
	// Output:
	// Fresh orange rust, 1 year in C2 (unheated shed, dry country): at most 200 g of iron per m²
	// Fresh orange rust, 10 years in C2 (unheated shed, dry country): at most 667 g of iron per m²
}

// A layer is its density less the pores, times its thickness.
func ExampleLayerOfThickness() {
	l, err := rust.LayerOfThickness(freshRust(), 50*measure.Micrometre)
	check(err)
	fmt.Printf("%s: %.0f g/m² of rust, %.0f of it iron\n", l.Name, l.RustGramsPerM2.Typical, l.IronGramsPerM2.Typical)
	// Output:
	// Fresh orange rust, 50 µm: 86 g/m² of rust, 51 of it iron
}

// Two grams scraped off a hand's breadth square.
func ExampleLayerOfMass() {
	l, err := rust.LayerOfMass(freshRust(), 2*measure.Gram, 100*measure.SquareCentimetre)
	check(err)
	fmt.Println(l.Name)
	// Output:
	// Fresh orange rust, 200 g/m²
}

// How much steel the tool library's bath clears of light rust.
func ExampleLayer_Area() {
	tub, _, dip := toolLibrary()
	c, err := tub.Capacities(dip.Oxide, 7)
	check(err)
	fmt.Println(measure.FormatArea(dip.Layer.Area(c.Practical)))
	// Output:
	// 1.78 m²
}

// How much rust a year in a shed leaves on half a square metre, and what
// brushing it off first saves.
func ExampleLayer_Load() {
	r, t, _ := demo.Library()
	shed, err := t.Corrosivity("C2")
	check(err)
	layer, err := rust.LayerOfYears(shed, freshRust(), 1)
	check(err)
	load, err := layer.Load(0.5*measure.SquareMetre, freshRust().Adherence, r.Chelant, 0.054)
	check(err)
	fmt.Printf("%.0f g of iron take %.0f L of bath; brushed first, %.0f L\n", load.IronGrams.Typical, load.UnbrushedBathLitres, load.BathLitres)
	// Output:
	// 32 g of iron take 14 L of bath; brushed first, 4 L
}

// The rust by which times are known.
func ExampleLight() {
	_, t, _ := demo.Library()
	kind, layer, err := rust.Light(t)
	check(err)
	fmt.Printf("%s, %.0f g of iron per m²\n", kind.Name, layer.IronGramsPerM2.Typical)
	// Output:
	// Fresh orange rust, 30 g of iron per m²
}

// How long it takes, before anything was seen.
func ExamplePace_Time() {
	tub, pace, dip := toolLibrary()
	time, err := pace.Time(tub, dip)
	check(err)
	fmt.Println(time.Text)
	fmt.Printf("the film alone: %s\n", rust.RoughTime(time.BoundHours.Typical))
	// Output:
	// About 15 hours; nine in ten such parts take between 5 hours and 2 days. Look after 5 hours, and take each part out when it is clean.
	// the film alone: 3 hours
}

// Two looks at a part make the range narrower.
func ExamplePace_Seen() {
	tub, pace, dip := toolLibrary()
	pace, err := pace.Seen(tub, dip, 4*measure.Hour, 0.5) // half of it gone
	check(err)
	pace, err = pace.Seen(tub, dip, 12*measure.Hour, 1) // clean
	check(err)
	time, err := pace.Time(tub, dip)
	check(err)
	fmt.Println(time.Text)
	// Output:
	// About 12 hours; nine in ten such parts take between 6 hours and 1 day. Look after 6 hours, and take each part out when it is clean.
}

// What would shorten it. A stronger bath is not among it.
func ExamplePace_Levers() {
	tub, pace, dip := toolLibrary()
	levers, err := pace.Levers(tub, dip)
	check(err)
	for _, l := range levers {
		if !l.Laboratory {
			fmt.Printf("%.1f times faster: %s\n", l.TimesFaster.Typical, l.Do)
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

// What a wire brush saves of the wait.
func ExamplePace_Brushing() {
	tub, pace, dip := toolLibrary()
	l, err := pace.Brushing(tub, dip)
	check(err)
	fmt.Printf("%s less, %s left\n", rust.RoughTime(l.SavedHours.Typical), rust.RoughTime(l.Hours.Typical))
	// Output:
	// 6 hours less, 8 hours left
}

// The rule that ten degrees double a rate holds from 25 to 35 °C at 52.9 kJ/mol, as
// textbooks of physical chemistry work out (from memory). Rust, with 84 kJ/mol, goes
// three times faster.
func ExampleArrhenius() {
	for _, energy := range []float64{52.9, 84} {
		f, err := rust.Arrhenius(energy, chem.Celsius(25), chem.Celsius(35))
		check(err)
		fmt.Printf("%.2f\n", f)
	}
	// Output:
	// 2.00
	// 3.00
}
