package spread

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// Quantiles of a normal distribution, smeared or not, and of one with an infinite
// tail.
func TestRangeOfLogs(t *testing.T) {
	var logs, weights []float64
	total := 0.0
	for k := range 401 {
		z := float64(k-200) / 50
		logs, weights = append(logs, 0.6*z), append(weights, math.Exp(-z*z/2))
		total += weights[k]
	}
	for k := range weights {
		weights[k] /= total
	}
	q := OfLogs(logs, weights, 0)
	require.InEpsilon(t, 1, q.Typical, 0.01)
	require.InEpsilon(t, math.Exp(0.6*1.6449), q.High, 0.02)
	q = OfLogs(logs, weights, 0.8)
	require.InEpsilon(t, math.Exp(-1.6449), q.Low, 0.01)
	require.InEpsilon(t, math.Exp(1.6449), q.High, 0.01)
	inf := math.Inf(1)
	require.True(t, math.IsInf(OfLogs([]float64{inf, inf}, []float64{0.5, 0.5}, 0).Low, 1))
}
