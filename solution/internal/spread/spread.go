// Package spread reckons with quantities that are known by a range: a typical value and two ends
// that hold nine cases in ten between them.
package spread

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"example.com/chelation/solution/internal/root"
	"example.com/chelation/tables"
)

// NineInTen is the number of standard deviations to either side of a normal distribution that hold
// nine cases in ten.
const NineInTen = 1.6448536269514722

// The shares of cases below the ends of a range and its typical value.
const lower, middle, upper = 0.05, 0.5, 0.95

// At returns the quantity at a standard normal deviate. Half of the cases lie below Typical and
// half above; each end leaves out one case in twenty, as a normal distribution of its own width on
// either side.
func At(r tables.Range, z float64) float64 {
	if z < 0 {
		return r.Typical + (r.Typical-r.Low)*z/NineInTen
	}
	return r.Typical + (r.High-r.Typical)*z/NineInTen
}

// LogAt is [At] for the logarithm of a quantity above zero.
func LogAt(r tables.Range, z float64) float64 {
	if z < 0 {
		return r.Typical * math.Exp(math.Log(r.Typical/r.Low)*z/NineInTen) // quicker than a power
	}
	return r.Typical * math.Exp(math.Log(r.High/r.Typical)*z/NineInTen)
}

// EvenAt spreads the deviate evenly from end to end of the range.
func EvenAt(r tables.Range, z float64) float64 {
	return r.Low + (r.High-r.Low)*distuv.UnitNormal.CDF(z)
}

// LogSigma is the standard deviation of the logarithm of a quantity.
func LogSigma(r tables.Range) float64 { return math.Log(r.High/r.Low) / (2 * NineInTen) }

// Lattice writes to z the i-th of n points that stand for independent standard normal deviates: a
// lattice i (1, a, a², ...)/n modulo 1 with a generator a (N. M. Korobov, Dokl. Akad. Nauk SSSR 124
// (1959) 1207), shifted by half a step, so that in each dimension alone the points are evenly
// spaced.
func Lattice(z []float64, i, n, generator int) {
	for d, k := 0, i; d < len(z); d, k = d+1, k*generator%n {
		z[d] = distuv.UnitNormal.Quantile((float64(k) + 0.5) / float64(n))
	}
}

// Of returns the range of values that are equally likely; zero if there are none.
func Of(x []float64) tables.Range {
	if len(x) == 0 {
		return tables.Range{}
	}
	s := slices.Sorted(slices.Values(x))
	return tables.Range{Low: Rank(s, lower), Typical: Rank(s, middle), High: Rank(s, upper)}
}

// Rank returns a quantile of sorted values, straight between neighbours. Package stat, which is
// asked where values have weights, makes no number of infinities.
func Rank(sorted []float64, q float64) float64 {
	t := q*float64(len(sorted)) - 0.5
	if t <= 0 {
		return sorted[0]
	}
	i := int(t)
	if i >= len(sorted)-1 {
		return sorted[len(sorted)-1]
	}
	a, b := sorted[i], sorted[i+1]
	if a == b { // of infinities too
		return a
	}
	return a + (t-float64(i))*(b-a)
}

// OfLogs returns the range of quantities given by their logarithms with weights that add up to one,
// each smeared by a normal error of standard deviation sigma. Infinite ones count as larger than
// all others.
func OfLogs(logs, weights []float64, sigma float64) tables.Range {
	low, high := math.Inf(1), math.Inf(-1)
	for _, x := range logs {
		if !math.IsInf(x, 0) {
			low, high = min(low, x), max(high, x)
		}
	}
	if high < low {
		return tables.Range{Low: math.Inf(1), Typical: math.Inf(1), High: math.Inf(1)}
	}
	const (
		bins     = 256
		narrow   = 1e-12 // a bin of what has one value
		far      = 5     // sigma, beyond which nothing to speak of lies
		accuracy = 1e-9  // of the width of all
	)
	width := max((high-low)/bins, narrow)
	var mass, place [bins]float64
	for k, x := range logs {
		if math.IsInf(x, 0) {
			continue
		}
		i := min(bins-1, int((x-low)/width))
		mass[i] += weights[k]
		place[i] += weights[k] * (x - low)
	}
	share := func(x float64) (sum float64) { // of the quantities below
		for i, m := range mass {
			beyond := x - (low + place[i]/m)
			switch {
			case m == 0:
			case sigma > 0:
				sum += m * distuv.UnitNormal.CDF(beyond/sigma)
			default: // spread evenly over the bin
				sum += m * min(1, max(0, beyond/width+0.5))
			}
		}
		return sum
	}
	at := func(p float64) float64 {
		a, b := low-far*sigma, high+far*sigma
		x, _ := root.Last(a, b, accuracy*(b-a), func(x float64) (bool, error) { return share(x) < p, nil })
		return math.Exp(x)
	}
	return tables.Range{Low: at(lower), Typical: at(middle), High: at(upper)}
}
