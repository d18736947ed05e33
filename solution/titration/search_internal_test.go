package titration

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
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

// The scale of a robust estimate by hand (P. J. Huber, Ann. Statist. 1 (1973) 799, from memory):
// K·√(Σψ²/(n − p))/mean ψ′ with K = 1 + (p/n)·var ψ′/(mean ψ′)², where ψ(z) = z/√(1 + (z/k)²) and
// ψ′(z) = (1 + (z/k)²)^(−3/2); the weights ψ/z of the Jacobian are divided out by their mean.
func TestScaleOfARobustFit(t *testing.T) {
	const k, spread, n, p = 1.287, 0.8, 5.0, 2.0
	f := &fitter{residual: []float64{0.1, -0.4, 3, 0.02, -0.7}, sigma: []float64{0.1, 0.5, 1, 0.2, 0.3}, spread: spread, unknowns: make([]Unknown, 2)}
	squares, mean, of2, weights := 0.0, 0.0, 0.0, 0.0
	for i, r := range f.residual {
		q := r / f.sigma[i] / spread
		w := 1 / math.Sqrt(1+q*q/(k*k))
		f.weight = append(f.weight, w)
		psi, slope := q*w, math.Pow(1+q*q/(k*k), -1.5)
		squares += psi * psi
		mean += slope / n
		of2 += slope * slope / n
		weights += w / n
	}
	factor := 1 + p/n*(of2-mean*mean)/(mean*mean)
	require.Greater(t, factor, 1.05)
	require.InEpsilon(t, factor*spread*math.Sqrt(squares/(n-p))/mean*math.Sqrt(weights), f.robustScale(), 1e-12)
}

// Without given uncertainties the spread is told by the median of the residuals' sizes, which is
// Φ⁻¹(¾) of a normal distribution's standard deviation, and by what fitting took, √(n/(n − p)),
// whatever the largest of them is.
func TestScatterByTheMedian(t *testing.T) {
	for _, largest := range []float64{0.5, 50} {
		f := &fitter{residual: []float64{-0.3, 0.1, largest, -0.2, 0.4}, sigma: []float64{1, 1, 1, 1, 1}, unknowns: make([]Unknown, 1)}
		require.InEpsilon(t, 0.3/distuv.UnitNormal.Quantile(0.75)*math.Sqrt(5.0/4), f.scatter(), 1e-4)
		f.how.Standard = 0.02
		require.Equal(t, 1.0, f.scatter())
	}
}
