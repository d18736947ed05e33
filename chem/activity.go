package chem

import (
	"math"

	"gonum.org/v1/gonum/unit"
)

// DebyeHuckelB is the coefficient of √I in the denominator of the Debye–Hückel
// term, in (L/mol)^½: that of the specific ion interaction theory (L. Ciavatta, Ann.
// Chim. (Rome) 70 (1980) 551) and, by the Bates–Guggenheim convention, of the pH scale
// (R. P. Buck et al., Pure Appl. Chem. 74 (2002) 2169, equation 7).
const DebyeHuckelB = 1.5

// DebyeHuckel returns D(I, T) = A √I / (1 + 1.5 √I), the Debye–Hückel term
// for ionic strength I in mol/L; 0.109 at 0.1 mol/L and 25 °C. It is NaN for
// negative I.
func DebyeHuckel(i float64, t unit.Temperature) float64 {
	root := math.Sqrt(i)
	return DebyeHuckelA(t) * root / (1 + DebyeHuckelB*root)
}

// ActivityCoefficient returns γ of an ion of charge z on the molar scale at
// ionic strength I in mol/L:
//
//	log10 γ = −z² D(I, T) + ε I
//
// where ε in L/mol stands for its specific interactions with others. The pH scale takes
// ε = 0; beyond I = 0.1 mol/L a single-ion activity is a convention more than a
// measurement, and pH uncertain by some hundredths (Buck et al. 2002, section 5).
func ActivityCoefficient(z int, epsilon, i float64, t unit.Temperature) float64 {
	return math.Pow(10, -float64(z*z)*DebyeHuckel(i, t)+epsilon*i)
}
