package spread

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/tables"
)

// Of a hundred numbers in any order, five lie below the low end, half below the
// middle and five above the high end.
func TestRange(t *testing.T) {
	var numbers []float64
	for k := range 100 {
		numbers = append(numbers, float64((37*k)%100+1))
	}
	require.Equal(t, tables.Range{Low: 5.5, Typical: 50.5, High: 95.5}, Of(numbers))
	require.Equal(t, tables.Range{}, Of(nil))
	r := tables.Range{Low: 2, Typical: 4, High: 16}
	for z, want := range map[float64][3]float64{-NineInTen: {2, 2, 2.7}, 0: {4, 4, 9}, NineInTen: {16, 16, 15.3}} {
		require.InDelta(t, want[0], At(r, z), 1e-9)
		require.InDelta(t, want[1], LogAt(r, z), 1e-9)
		require.InDelta(t, want[2], EvenAt(r, z), 1e-9)
	}
	require.InDelta(t, math.Log(8)/3.28970725, LogSigma(r), 1e-8)
}

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
