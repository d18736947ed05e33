package rust_test

import (
	"fmt"
	"log"

	"example.com/chelation/chem"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

// How much rust a year in a shed leaves on half a square metre, and what
// brushing it off first saves.
func ExampleLayer_Load() {
	r, t, _ := demo.Library()
	oxide, _ := t.Rust("fresh orange rust")
	shed, _ := t.Corrosivity("C2")
	layer, err := rust.LayerOfYears(shed, oxide, 1)
	if err != nil {
		log.Fatal(err)
	}
	load, err := layer.Load(0.5, oxide.Adherence, r.Chelant, 0.054)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f g of iron take %.0f L of bath; brushed first, %.0f L\n", load.IronGrams.Typical, load.UnbrushedBathLitres, load.BathLitres)
	// Output:
	// 32 g of iron take 14 L of bath; brushed first, 4 L
}

// shedRust is light fresh rust on half a square metre of hand tools.
func shedRust(t *tables.Tables, o bath.Oxide) rust.Dip {
	oxide, _ := t.Rust("fresh orange rust")
	layer, err := rust.LayerOfThickness(oxide, 25e-6) // m
	if err != nil {
		log.Fatal(err)
	}
	return rust.Dip{Rust: oxide, Layer: layer, Area: 0.5, Oxide: o, Held: true}
}

// How long it takes, before anything was seen and after.
func ExamplePace() {
	r, t, oxide := demo.Library()
	tub, err := r.Mix(t)
	if err != nil {
		log.Fatal(err)
	}
	pace, err := rust.NewPace(t)
	if err != nil {
		log.Fatal(err)
	}
	dip := shedRust(t, oxide)
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
	r, t, oxide := demo.Library()
	tub, err := r.Mix(t)
	if err != nil {
		log.Fatal(err)
	}
	pace, err := rust.NewPace(t)
	if err != nil {
		log.Fatal(err)
	}
	levers, err := pace.Levers(tub, shedRust(t, oxide))
	if err != nil {
		log.Fatal(err)
	}
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

// The most iron that diffusion lets through half a millimetre of still liquid.
func ExampleDiffusionLimit() {
	j, err := rust.DiffusionLimit(0.5e-3, 5e-10, 0.03) // m, m²/s, mol/L
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f g of iron per m² and day\n", j*55.845*86400)
	// Output:
	// 145 g of iron per m² and day
}

// 84 kJ/mol make rust go three times faster in a bath that is 10 °C warmer.
func ExampleArrhenius() {
	f, err := rust.Arrhenius(84, chem.Celsius(20), chem.Celsius(30))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f\n", f)
	// Output:
	// 3.1
}
