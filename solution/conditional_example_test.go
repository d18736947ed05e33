package solution_test

import (
	"fmt"
	"math"

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
	//  4           8.6        1.6       14.8        2.0
	//  6           4.8        5.3       14.9        5.8
	//  8           2.4        9.6       13.6        8.2
	// 10           1.0       17.3        9.9        9.5
	// 12           0.9       25.3        5.9        9.6
	// calcium is bound for good from pH 7.8
}

// Free nickel in 0.0150 mol/L of NiY²⁻, where nickel and EDTA are equally many: the
// root of c/K′. Printed: 1.2·10^-5 mol/L at pH 3 and 8.1·10^-10 mol/L at pH 8, with
// K = 4.2·10^18 and pK 2.0, 2.67, 6.16 and 10.26 (D. A.
// Skoog et al., Fundamentals of Analytical Chemistry, 8th and 9th ed., chapter 17 on EDTA,
// the example on NiY²⁻).
func ExamplePairOf() {
	nickel, err := solution.PairOf(math.Log10(4.2e18), 2.0, 2.67, 6.16, 10.26)
	if err != nil {
		panic(err)
	}
	for _, pH := range []float64{3, 8} {
		k := math.Pow(10, nickel.LogConditional(pH))
		fmt.Printf("pH %g: %.1e mol/L\n", pH, math.Sqrt(0.0150/k))
	}
	// Output:
	// pH 3: 1.2e-05 mol/L
	// pH 8: 8.1e-10 mol/L
}

// The part of EDTA that is bare, as printed by F. W. Fifield and D. Kealey, Principles
// and Practice of Analytical Chemistry, table 5.7: 3.7·10^-14 at pH 2, 3.6·10^-9 at 4,
// 2.2·10^-5 at 6, 5.4·10^-3 at 8 and 0.35 at 10.
func ExamplePair_Fraction() {
	edta, err := solution.PairOf(0, 2.0, 2.67, 6.16, 10.26)
	if err != nil {
		panic(err)
	}
	for pH := 2.0; pH <= 10; pH += 2 {
		fmt.Printf("%2g  %.1e\n", pH, edta.Fraction(pH))
	}
	// Output:
	//  2  3.7e-14
	//  4  3.6e-09
	//  6  2.2e-05
	//  8  5.4e-03
	// 10  3.5e-01
}
