package care_test

import (
	"fmt"
	"log"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/care"
	"example.com/chelation/solution/internal/demo"
)

// Which metals this bath can dissolve.
func ExampleMetals() {
	r, t, _ := demo.Library()
	tub, err := r.Mix(t)
	if err != nil {
		log.Fatal(err)
	}
	metals, err := care.Metals(tub)
	if err != nil {
		log.Fatal(err)
	}
	for _, m := range metals {
		if m.Metal == "zinc" || m.Metal == "copper" {
			fmt.Printf("%s: with hydrogen %v, by iron(III) %v\n", m.Metal, m.Hydrogen, m.IronForceVolts > 0)
		}
	}
	// Output:
	// zinc: with hydrogen true, by iron(III) true
	// copper: with hydrogen false, by iron(III) true
}

// None of these makes the water fit for a drain.
func ExampleRecoveries() {
	r, t, oxide := demo.Library()
	tub, err := r.Mix(t)
	if err != nil {
		log.Fatal(err)
	}
	if err := tub.Dissolve(oxide, 50*measure.Gram); err != nil {
		log.Fatal(err)
	}
	acid, _ := t.Reagent("muriatic acid")
	lye, _ := t.Reagent("lye")
	ways, err := care.Recoveries(tub, acid, lye)
	if err != nil {
		log.Fatal(err)
	}
	for _, w := range ways {
		fmt.Printf("%s: %.0f g EDTA acid and %.0f g hydroxide settle, %.0f g/L EDTA stay\n", w.Name, w.AcidSettledGrams, w.HydroxideSettledGrams, w.ChelantLeftMgPerLitre/1000)
	}
	// Output:
	// acidify: 152 g EDTA acid and 0 g hydroxide settle, 8 g/L EDTA stay
	// make alkaline: 0 g EDTA acid and 60 g hydroxide settle, 16 g/L EDTA stay
	// leave open to the air: 0 g EDTA acid and 0 g hydroxide settle, 16 g/L EDTA stay
}
