package reading_test

import (
	"cmp"
	"fmt"
	"log"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/reading"
	"example.com/chelation/tables"
)

// tub is the tool library's: three level cups from a bag without a label in 20 litres
// of tap water, citric acid and washing soda at hand.
func tub() (*tables.Tables, reading.Setup, tables.Strip) {
	t, err := tables.Standard()
	if err != nil {
		log.Fatal(err)
	}
	tap, _ := t.Water("moderately hard tap water")
	citric, _ := t.Reagent("citric acid")
	soda, _ := t.Reagent("washing soda")
	strip, _ := t.Strip("universal strip")
	cups, _ := measure.ParseAmount("3 cups")
	return t, reading.Setup{
		Water: tap, Volume: 20 * measure.Litre, Temperature: chem.Celsius(20),
		Amount: cups, Acid: citric, Base: soda,
	}, strip
}

// known works a setup out and takes in what was done and seen.
func known(t *tables.Tables, s reading.Setup, events ...reading.Event) *reading.Posterior {
	model, err := reading.New(t, s)
	if err != nil {
		log.Fatal(err)
	}
	posterior, err := model.Infer(events)
	if err != nil {
		log.Fatal(err)
	}
	return posterior
}

func tens(grams float64) float64 { return 10 * math.Round(grams/10) }

// What a strip tells of a bag without a label, and what to add.
func Example() {
	t, s, strip := tub()
	posterior := known(t, s, reading.Read{Strip: strip, Value: 11})
	tetrasodium := 0.0
	for _, b := range posterior.Salts() {
		switch b.Salt.ID {
		case "edta-tetrasodium-anhydrous", "edta-tetrasodium-dihydrate", "edta-tetrasodium-tetrahydrate":
			tetrasodium += b.Weight
		}
	}
	advice, err := posterior.Advise()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("tetrasodium EDTA, more or less dry: %.0f %%\n", 100*tetrasodium)
	fmt.Printf("%s %s, about %.0f g to %.0f g needed in all\n", advice.Action, advice.Reagent, tens(advice.NeedGrams.Low), tens(advice.NeedGrams.High))
	// Output:
	// tetrasodium EDTA, more or less dry: 93 %
	// add Citric acid, anhydrous, about 50 g to 160 g needed in all
}

// A handbook prints pH 9.3 for one per cent of trisodium EDTA (from memory,
// unverified); the pure salt reads 8.3. Free base moves it that far, and the bag is
// believed to be the same at either reading.
func ExamplePosterior_Salts() {
	t, s, _ := tub()
	s.Water, _ = t.Water("distilled water")
	s.Volume, s.Temperature = measure.Litre, chem.Celsius(25)
	s.Amount = measure.AmountOfMass(10 * measure.Gram)
	meter, _ := t.Strip("pH meter")
	for _, pH := range []float64{4.5, 8.3, 9.3, 11.3} {
		best := known(t, s, reading.Read{Strip: meter, Value: pH}).Salts()[0].Salt
		fmt.Printf("pH %4.1f: %s\n", pH, strings.Fields(best.Name)[0])
	}
	// Output:
	// pH  4.5: Disodium
	// pH  8.3: Trisodium
	// pH  9.3: Trisodium
	// pH 11.3: Tetrasodium
}

// What can be said of a bag with a label before anything is measured: disodium EDTA,
// brought to pH 7 with washing soda.
func ExampleModel_Forecast() {
	t, s, _ := tub()
	salt, _ := t.Reagent("disodium EDTA")
	s.Bag = []reading.Candidate{{Salt: salt, Weight: 1}}
	s.Amount = measure.AmountOfMass(500 * measure.Gram)
	s.Acid = tables.Reagent{} // a base is all that is needed
	model, err := reading.New(t, s)
	if err != nil {
		log.Fatal(err)
	}
	f, err := model.Forecast(nil)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("pH %.1f to %.1f, then %.0f g to %.0f g of washing soda\n", f.PH.Low, f.PH.High, tens(f.DoseGrams.Low), tens(f.DoseGrams.High))
	fmt.Printf("%.0f g of it at once; what widens this most is %s\n", tens(f.FirstGrams), f.DoseGrams.Causes[0].Name)
	// Output:
	// pH 4.1 to 5.1, then 120 g to 140 g of washing soda
	// 90 g of it at once; what widens this most is the constants and the temperature
}

// A reading that contradicts the others is set aside, and the advice is to read again.
func ExamplePosterior_Suspects() {
	t, s, strip := tub()
	posterior := known(t, s, reading.Read{Strip: strip, Value: 11}, reading.Read{Strip: strip, Value: 11}, reading.Read{Strip: strip, Value: 3})
	for _, s := range posterior.Suspects() {
		fmt.Printf("%s, with a chance of %.1f: %s\n", s.What, s.Chance, s.Tell)
	}
	advice, err := posterior.Advise()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(advice.Action)
	// Output:
	// a reading was a mistake, with a chance of 1.0: stir and read again
	// read
}

// Of what could be done to tell the salts apart, the cheapest comes first.
func ExamplePosterior_Tests() {
	t, s, strip := tub()
	tests, err := known(t, s).Tests(strip)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%s: %.1f of %.1f bits\n", tests[0].Text, tests[0].Bits, tests[0].OpenBits)
	// Output: read the bath with a wide-range pH strip: 1.4 of 3.0 bits
}

// An over-acidified bath, and what raises its pH the lightest first.
func ExamplePosterior_Remedies() {
	t, s, _ := tub()
	s.Open = true // the masses are those for good
	meter, _ := t.Strip("pH meter")
	remedies, err := known(t, s, reading.Read{Strip: meter, Value: 11.1},
		reading.Added{Reagent: s.Acid, Amount: measure.AmountOfMass(140 * measure.Gram)}, reading.Read{Strip: meter, Value: 5.6}).Remedies()
	if err != nil {
		log.Fatal(err)
	}
	slices.SortFunc(remedies, func(a, b reading.Remedy) int { return cmp.Compare(a.MassGrams.Typical, b.MassGrams.Typical) })
	for _, r := range remedies[:3] { // 40, 62 and 84 g/mol of hydrogen ions taken up
		fmt.Printf("%s: about %.0f g\n", r.Reagent, tens(r.MassGrams.Typical))
	}
	// Output:
	// Sodium hydroxide: about 40 g
	// Sodium carbonate monohydrate: about 60 g
	// Sodium bicarbonate: about 80 g
}

// A bath drawn from what is believed, to try advice on: see examples/calibration.
func ExampleModel_Draw() {
	t, s, _ := tub()
	model, err := reading.New(t, s)
	if err != nil {
		log.Fatal(err)
	}
	bath, _, err := model.Draw(rand.New(rand.NewPCG(1, 2)))
	if err != nil {
		log.Fatal(err)
	}
	salt := bath.Bag[0].Salt
	fmt.Printf("%s of assay %.3f, %.0f g in a level litre\n", salt.Name, salt.Assay.Typical, salt.Bulk.Typical)
	// Output: Tetrasodium EDTA, anhydrous of assay 0.981, 591 g in a level litre
}
