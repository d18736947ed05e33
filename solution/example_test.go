package solution_test

import (
	"fmt"
	"log"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// One per cent of trisodium citrate turned into a buffer with citric acid.
func Example() {
	t, err := tables.Standard()
	if err != nil {
		log.Fatal(err)
	}
	vessel, err := solution.New(t, chem.Celsius(25))
	if err != nil {
		log.Fatal(err)
	}
	salt, _ := t.Reagent("trisodium citrate")
	acid, _ := t.Reagent("citric acid")
	if err := vessel.AddPureWater(unit.Volume(1e-3)); err != nil { // 1 L
		log.Fatal(err)
	}
	if err := vessel.Add(salt, 0.010); err != nil { // 10 g
		log.Fatal(err)
	}
	dose, err := vessel.Dose(acid, solution.PH(5))
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f g of citric acid bring pH %.1f to %.1f\n", dose.MassGrams, dose.Before.PH, dose.After.PH)
	citrate, err := dose.After.Distribution("citrate")
	if err != nil {
		log.Fatal(err)
	}
	for _, f := range citrate[:3] {
		fmt.Printf("%3.0f %% %s\n", 100*f.Value, f.Species)
	}
	// Output:
	// 3.5 g of citric acid bring pH 9.1 to 5.0
	//  70 % Hcit2-
	//  18 % H2cit-
	//  12 % cit3-
}
