package equilibrium_test

import (
	"errors"
	"fmt"
	"math"

	"example.com/chelation/chem/equilibrium"
)

// Acetic acid, 0.1 mol/L, half neutralised: components H⁺ and acetate, pKa
// 4.757 and pKw 13.995 at 25 °C and I = 0 (from memory, rounded).
func ExampleWorkspace_Solve() {
	system, err := equilibrium.New(2, [][]float64{
		{1, 0},  // H⁺
		{0, 1},  // acetate
		{-1, 0}, // OH⁻
		{1, 1},  // acetic acid
	}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	conditions := equilibrium.Conditions{
		LnK:   []float64{0, 0, -13.995 * math.Ln10, 4.757 * math.Ln10},
		Total: []float64{0.05, 0.1}, // half of the acid's protons are left
	}
	w, result := system.NewWorkspace(), new(equilibrium.Result)
	if err := w.Solve(&conditions, result); err != nil {
		fmt.Println(err)
		return
	}
	var response equilibrium.Response // to strong base
	if err := w.Respond(&equilibrium.Change{Total: []float64{-1, 0}}, &response); err != nil {
		fmt.Println(err)
		return
	}
	beta := -math.Ln10 / response.LnC[0] // Van Slyke's buffer capacity
	fmt.Printf("pcH %.3f, acid %.4f mol/L, buffer capacity %.4f mol/L\n", -result.LnC[0]/math.Ln10, result.C[3], beta)
	// Output: pcH 4.757, acid 0.0500 mol/L, buffer capacity 0.0576 mol/L
}

// Gypsum in water: CaSO4·2H2O with log Ks = -4.58 and the ion pair, log K = 2.3
// (25 °C, I = 0, from memory), activity coefficients from a Medium without
// interaction terms. By hand, at I = 0.0431: D = 0.0806, γ = 10^(-4D) = 0.476, free
// calcium √(10^-4.58)/γ = 0.0108, pairs 10^(2.3-4.58) = 0.0052 mol/L.
func ExampleMedium() {
	system, err := equilibrium.New(2, [][]float64{{1, 0}, {0, 1}, {1, 1}}, [][]float64{{1, 1}})
	if err != nil {
		fmt.Println(err)
		return
	}
	medium := equilibrium.Medium{
		A:    0.509,
		LnK0: []float64{0, 0, 2.3 * math.Ln10}, DZ2: []float64{0, 0, -8}, DEps: make([]float64, 3),
		LnKs0: []float64{-4.58 * math.Ln10}, DZ2S: []float64{8}, DEpsS: []float64{0},
		Z2: []float64{4, 4, 0}, CompZ2: []float64{4, 4}, CompEps: make([]float64, 2),
	}
	w, result := system.NewWorkspace(), new(equilibrium.Result)
	if err := w.Solve(&equilibrium.Conditions{Medium: &medium, Total: []float64{0.05, 0.05}}, result); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("dissolved %.4f mol/L, solid %.4f, I %.4f\n", 0.05-result.Solid[0], result.Solid[0], result.Ionic)
	// Output: dissolved 0.0160 mol/L, solid 0.0340, I 0.0431
}

// A total that nothing can add up to is an error that names the component.
func ExampleComponentError() {
	system, err := equilibrium.New(2, [][]float64{{1, 1}, {1, 2}}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	w, result := system.NewWorkspace(), new(equilibrium.Result)
	err = w.Solve(&equilibrium.Conditions{LnK: []float64{3, 5}, Total: []float64{1e-3, 5e-3}}, result)
	var component *equilibrium.ComponentError
	fmt.Println(errors.Is(err, equilibrium.ErrInfeasible), errors.As(err, &component))
	// Output: true true
}
