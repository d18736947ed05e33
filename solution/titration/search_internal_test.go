package titration

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// What a robust fit makes least is 2k²(√(1+(z/k)²) − 1), which is z² where residuals are
// small and a length where they are large (P. J. Huber, Ann. Math. Statist. 35 (1964) 73,
// in the smooth form); without it the squares.
func TestSumOfSquares(t *testing.T) {
	residual := []float64{0, 0.001, -0.02, 0.5, -30}
	f := &fitter{residual: residual, sigma: []float64{1, 0.1, 0.01, 0.2, 0.5}, spread: 1.5}
	squares, smooth := 0.0, 0.0
	for i, r := range residual {
		z := r / (f.sigma[i] * 1.5)
		squares += z * z
		smooth += 2 * 1.287 * 1.287 * (math.Sqrt(1+z*z/(1.287*1.287)) - 1)
	}
	require.InEpsilon(t, squares, f.sum(), 1e-12)
	f.how.Robust = true
	require.InEpsilon(t, smooth, f.sum(), 1e-9)
}
