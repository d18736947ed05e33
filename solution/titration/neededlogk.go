package titration

import "math"

// NeededLogK returns the log10 K′ that a titration needs for a relative error at its
// equivalence point, when that stands at a concentration of metal in mol/L: at
// equivalence the unbound share is (K′c)^−½, from K′ = c/x² (so that 8 is needed
// for a tenth of a per cent at 0.01 mol/L).
func NeededLogK(relative, concentration float64) float64 {
	return -2*math.Log10(relative) - math.Log10(concentration)
}
