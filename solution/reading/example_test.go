package reading_test

import (
	"fmt"
	"log"
	"math"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/reading"
	"example.com/chelation/tables"
)

// The tool library's tub, from a bag without a label: what a strip tells, and
// what to add.
func Example() {
	t, err := tables.Standard()
	if err != nil {
		log.Fatal(err)
	}
	tap, _ := t.Water("moderately hard tap water")
	citric, _ := t.Reagent("citric acid")
	soda, _ := t.Reagent("washing soda")
	strip, _ := t.Strip("universal strip")
	cups, _ := measure.ParseAmount("3 cups")
	model, err := reading.New(t, reading.Setup{
		Water: tap, Volume: 0.020, Temperature: chem.Celsius(20), // m³
		Amount: cups, Acid: citric, Base: soda,
	})
	if err != nil {
		log.Fatal(err)
	}
	posterior, err := model.Infer([]reading.Event{reading.Read{Strip: strip, Value: 11}})
	if err != nil {
		log.Fatal(err)
	}
	tetrasodium := 0.0
	for _, b := range posterior.Salts() {
		switch b.ID {
		case "edta-tetrasodium-anhydrous", "edta-tetrasodium-dihydrate", "edta-tetrasodium-tetrahydrate":
			tetrasodium += b.Probability
		}
	}
	advice, err := posterior.Advise()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("tetrasodium EDTA, more or less dry: %.0f %%\n", 100*tetrasodium)
	tens := func(grams float64) float64 { return 10 * math.Round(grams/10) }
	fmt.Printf("%s %s, about %.0f g to %.0f g needed in all\n", advice.Action, advice.Reagent, tens(advice.NeedGrams.Low), tens(advice.NeedGrams.High))
	// Output:
	// tetrasodium EDTA, more or less dry: 99 %
	// add Citric acid, anhydrous, about 70 g to 110 g needed in all
}

// A handbook prints pH 9.3 for one per cent of trisodium EDTA; the pure salt
// reads 8.3. Free base moves it that far, and the bag is believed to be the same
// at either reading.
func ExamplePosterior_Salts() {
	t, err := tables.Standard()
	if err != nil {
		log.Fatal(err)
	}
	pure, _ := t.Water("distilled water")
	citric, _ := t.Reagent("citric acid")
	soda, _ := t.Reagent("washing soda")
	meter, _ := t.Strip("pH meter")
	ten, _ := measure.ParseAmount("10 g")
	model, err := reading.New(t, reading.Setup{
		Water: pure, Volume: 0.001, Temperature: chem.Celsius(25), // m³
		Amount: ten, Acid: citric, Base: soda,
	})
	if err != nil {
		log.Fatal(err)
	}
	for _, pH := range []float64{4.5, 8.3, 9.3, 11.3} {
		p, err := model.Infer([]reading.Event{reading.Read{Strip: meter, Value: pH}})
		if err != nil {
			log.Fatal(err)
		}
		kinds := map[string]float64{}
		for _, b := range p.Salts() {
			kinds[b.Salt[:3]] += b.Probability
		}
		fmt.Printf("pH %4.1f: disodium %.1f, trisodium %.1f, tetrasodium %.1f\n", pH, kinds["Dis"], kinds["Tri"], kinds["Tet"])
	}
	// Output:
	// pH  4.5: disodium 1.0, trisodium 0.0, tetrasodium 0.0
	// pH  8.3: disodium 0.0, trisodium 1.0, tetrasodium 0.0
	// pH  9.3: disodium 0.0, trisodium 1.0, tetrasodium 0.0
	// pH 11.3: disodium 0.0, trisodium 0.0, tetrasodium 1.0
}
