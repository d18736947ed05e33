package care_test

import (
	"fmt"
	"log"
	"slices"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/care"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/tables"
)

// check ends an example that cannot go on.
func check(err error) {
	if err != nil {
		log.Fatal(err)
	}
}

// used is the bath of the tool library after 50 g of rust.
func used() *bath.Bath {
	r, t, oxide := demo.Library()
	tub, err := r.Mix(t)
	check(err)
	check(tub.Dissolve(oxide, 50*measure.Gram))
	return tub
}

// Which metals this bath can dissolve.
func ExampleMetals() {
	metals, err := care.Metals(used())
	check(err)
	for _, m := range metals {
		if m.Metal == "zinc" || m.Metal == "copper" {
			fmt.Printf("%s: with hydrogen %v, by iron(III) %v\n", m.Metal, m.Hydrogen, m.IronForceVolts > 0)
		}
	}
	// Output:
	// zinc: with hydrogen true, by iron(III) true
	// copper: with hydrogen false, by iron(III) true
}

// Formal potentials: Fe(III)/Fe(II) has 0.77 V, and in EDTA, which holds the one far more
// firmly than the other, about 0.12 V (from memory): 0.771 − 0.0592 (25.1 − 14.3) is
// 0.13 V with the constants of both chelates at I = 0.1. That is what lets air, and
// not water, take the electrons of a used bath.
func ExampleMetals_potential() {
	_, t, _ := demo.Library()
	couple, err := tables.Find[tables.Couple](t, "ferric-ferrous")
	check(err)
	k, err := t.Constant("Fe3+ + Fe(edta)^2- = Fe(edta)- + Fe2+")
	check(err)
	apart := k.Log10K(chem.Celsius(25), 0.1)
	fmt.Printf("%.2f V, and %.2f V in EDTA\n", couple.PotentialVolts, couple.PotentialVolts-0.0592*apart)
	// Output:
	// 0.77 V, and 0.13 V in EDTA
}

// None of these makes the water fit for a drain.
func ExampleRecoveries() {
	_, t, _ := demo.Library()
	acid, err := t.Reagent("muriatic acid")
	check(err)
	lye, err := t.Reagent("lye")
	check(err)
	ways, err := care.Recoveries(used(), acid, lye)
	check(err)
	for _, w := range ways {
		fmt.Printf("%s: %.0f g EDTA acid and %.0f g hydroxide settle, %.0f g/L EDTA stay\n", w.Name, w.AcidSettledGrams, w.HydroxideSettledGrams, w.ChelantLeftMgPerLitre/1000)
	}
	// Output:
	// acidify: 152 g EDTA acid and 0 g hydroxide settle, 8 g/L EDTA stay
	// make alkaline: 0 g EDTA acid and 37 g hydroxide settle, 16 g/L EDTA stay
	// leave open to the air: 0 g EDTA acid and 0 g hydroxide settle, 16 g/L EDTA stay
}

// What must never meet comes first.
func ExampleCautions() {
	_, t, _ := demo.Library()
	acid, err := t.Reagent("muriatic acid")
	check(err)
	all, err := care.Cautions(t, []tables.Reagent{acid}, []string{"zinc"})
	check(err)
	for _, c := range all {
		fmt.Println(c.Signal, c.Key, c.About)
	}
	// Output:
	// danger acid-into-water [Muriatic acid, 31.45 %]
	// danger acid-with-bleach [chlorine bleach]
	// danger H314 [Muriatic acid, 31.45 %]
	// warning acid-on-zinc [zinc]
	// warning H290 [Muriatic acid, 31.45 %]
	// warning H335 [Muriatic acid, 31.45 %]
	// warning used-bath []
	// warning disposal []
}

// A part is as delicate as the most delicate thing on it.
func ExampleWork_Parts() {
	_, t, _ := demo.Library()
	parts, err := care.Work{Materials: []string{"cast iron", "spring", "galvanized"}, PH: 6}.Parts(t)
	check(err)
	for _, p := range parts {
		fmt.Println(p.Material, p.Admission)
	}
	// Output:
	// spring stays out
	// zinc stays out
	// cast iron goes in
}

// What a hot bath in hard water asks for beyond what every bath does.
func ExampleWork_Practice() {
	_, t, _ := demo.Library()
	plain, err := care.Work{}.Practice(t)
	check(err)
	all, err := care.Work{TemperatureC: 60, HardnessFraction: 0.08}.Practice(t)
	check(err)
	for _, a := range all {
		if !slices.Contains(plain, a) {
			fmt.Println(a.Stage+":", a.Do)
		}
	}
	// Output:
	// before the bath: Use softer water if there is any.
	// in the bath: Warm the tub in a water bath, not on a flame; a lid, long sleeves and a face shield; lift parts out slowly with tongs.
}

// A spring of 45 HRC that met acid.
func ExampleBake() {
	_, t, _ := demo.Library()
	b, err := care.Bake(t, 45)
	check(err)
	fmt.Printf("%g to %g °C for %g h at least\n", b.LowC, b.HighC, b.MinimumHours)
	// Output:
	// 190 to 220 °C for 16 h at least
}
