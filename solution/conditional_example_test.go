package solution_test

import (
	"fmt"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// How firmly EDTA holds iron(III) and calcium as a bath goes from acid to
// alkaline: iron loses to its own hydroxide what calcium wins from the protons.
func ExamplePair() {
	t, err := tables.Standard()
	if err != nil {
		panic(err)
	}
	bath := solution.Surroundings{
		Temperature:   chem.Celsius(25),
		IonicStrength: 0.2,
		Free:          map[string]float64{"Na+": 0.15},
	}
	iron, err := solution.NewPair(t, "iron(III)", "edta", bath)
	if err != nil {
		panic(err)
	}
	calcium, err := solution.NewPair(t, "calcium", "edta", bath)
	if err != nil {
		panic(err)
	}
	fmt.Println("pH  log α(EDTA)  log α(Fe)  log K′ Fe  log K′ Ca")
	for pH := 4.0; pH <= 12; pH += 2 {
		fmt.Printf("%2.0f %13.1f %10.1f %10.1f %10.1f\n", pH,
			iron.LogAlphaLigand(pH), iron.LogAlphaMetal(pH), iron.LogConditional(pH), calcium.LogConditional(pH))
	}
	low, _, err := calcium.Window(solution.EndpointLogK)
	if err != nil {
		panic(err)
	}
	fmt.Printf("calcium is bound for good from pH %.1f\n", low)
	// Output:
	// pH  log α(EDTA)  log α(Fe)  log K′ Fe  log K′ Ca
	//  4           8.6        1.5       14.8        2.0
	//  6           4.8        5.2       15.0        5.8
	//  8           2.4        9.6       13.6        8.1
	// 10           1.1       17.2        9.2        9.5
	// 12           1.0       25.2        3.3        9.6
	// calcium is bound for good from pH 7.9
}
