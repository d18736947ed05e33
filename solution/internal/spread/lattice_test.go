package spread_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"

	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// In each dimension alone the points of a lattice are the middles of equal parts, each once; the
// next dimension is the last one's times the generator, modulo their number.
func TestLatticeIsEven(t *testing.T) {
	const n, generator = 256, 195
	var all [4][]float64
	for i := range n {
		var z [4]float64
		spread.Lattice(z[:], i, n, generator)
		place := i
		for d, x := range z {
			part := n * distuv.UnitNormal.CDF(x)
			require.InDelta(t, float64(place)+0.5, part, 1e-6)
			all[d] = append(all[d], math.Round(part-0.5))
			place = place * generator % n
		}
	}
	for _, column := range all {
		slices.Sort(column)
		for i, x := range column {
			require.Equal(t, float64(i), x)
		}
	}
}

// What is endless on either side counts as larger than all others, and the last of sorted values
// is reached by no more than the last half.
func TestEndlessOnes(t *testing.T) {
	logs, weights := []float64{0, 1, math.Inf(1), math.Inf(-1)}, []float64{0.45, 0.45, 0.05, 0.05}
	r := spread.OfLogs(logs, weights, 0.01)
	require.InDelta(t, 1, r.Low, 0.05)
	require.InDelta(t, math.E, r.Typical, 0.1)
	only := spread.OfLogs([]float64{math.Inf(1), math.Inf(-1)}, []float64{0.5, 0.5}, 0.1)
	require.True(t, math.IsInf(only.Low, 1))
	for n := 1; n < 6; n++ {
		values := make([]float64, n)
		for i := range values {
			values[i] = float64(i)
		}
		for _, q := range []float64{0, 0.3, 0.5, 0.9, 0.999, 1} {
			want := min(float64(n-1), max(0, q*float64(n)-0.5))
			require.InDelta(t, want, spread.Rank(values, q), 1e-12, "%g of %d", q, n)
		}
	}
}

// On either side a range is normal, of its own width: an end at 1.645 standard deviations, the middle between
// it and the typical at half that, of logarithms the geometric one; evenly spread, a quarter lies below −0.674.
func TestHalfTheWayToEitherEnd(t *testing.T) {
	r, end := tables.Range{Low: 1, Typical: 4, High: 36}, 1.6448536269514722
	for part, want := range map[float64][2]float64{-1: {1, 1}, -0.5: {2.5, 2}, -0.01: {3.97, 4 * math.Pow(4, -0.01)}, 0: {4, 4}, 0.01: {4.32, 4 * math.Pow(9, 0.01)}, 0.5: {20, 12}, 1: {36, 36}} {
		require.InDelta(t, want[0], spread.At(r, part*end), 1e-9)
		require.InDelta(t, want[1], spread.LogAt(r, part*end), 1e-9)
	}
	require.InDelta(t, 1+35.0/4, spread.EvenAt(r, -0.6744897501960817), 1e-9)
}

// Logarithms evenly spread from 0 to 1, without an error of their own, have their quantiles where they
// are, to a hundredth of the bins that they are sorted into.
func TestEvenLogs(t *testing.T) {
	const n = 256 * 40
	logs, weights := make([]float64, n), make([]float64, n)
	for i := range logs {
		logs[i], weights[i] = (float64(i)+0.5)/n, 1.0/n
	}
	r := spread.OfLogs(logs, weights, 0)
	for q, x := range map[float64]float64{0.05: r.Low, 0.5: r.Typical, 0.95: r.High} {
		require.InDelta(t, q, math.Log(x), 1e-4)
	}
	alone := spread.OfLogs([]float64{0.2}, []float64{1}, 0.3)
	require.InDelta(t, 0.2-0.3*1.6448536, math.Log(alone.Low), 1e-6)
	require.InDelta(t, 0.2+0.3*1.6448536, math.Log(alone.High), 1e-6)
}
