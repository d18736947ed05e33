package titration

import "math"

// NeededLogK returns the log10 K′ that a titration needs for a relative error at its
// equivalence point, when that stands at a concentration of metal in mol/L: at
// equivalence the unbound share is (K′c)^−½, from K′ = c/x² (so that 8 is needed
// for a tenth of a per cent at 0.01 mol/L).
func NeededLogK(relative, concentration float64) float64 {
	return -2*math.Log10(relative) - math.Log10(concentration)
}

// ChelationError returns the relative titration error of a metal titrated with a
// chelant when it ends delta units of pM after equivalence,
//
//	(10^δ − 10^−δ) / √(K′ c)
//
// with the concentration of metal at equivalence in mol/L (A. Ringbom,
// Complexation in Analytical Chemistry, 1963; from memory). It holds for log K′c
// above 4 or so.
func ChelationError(delta, logK, concentration float64) float64 {
	return (math.Pow(10, delta) - math.Pow(10, -delta)) / math.Sqrt(math.Pow(10, logK)*concentration)
}
