package rust

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/tables"
)

// Three points with the weights of the rule (Abramowitz & Stegun, 25.4.46) have the moments
// of a normal distribution up to the fifth: 1, 0, σ², 0, 3σ⁴, 0.
func TestGaussHasTheMomentsOfANormal(t *testing.T) {
	const sigma = 0.4
	reach := math.Exp(1.6448536269514722 * sigma) // nine in ten lie within, either side
	values, weights := gauss(tables.Range{Low: 3 / reach, Typical: 3, High: 3 * reach})
	for power, want := range []float64{1, 0, sigma * sigma, 0, 3 * math.Pow(sigma, 4), 0} {
		sum := 0.0
		for i, w := range weights {
			sum += w * math.Pow(math.Log(values[i]/3), float64(power))
		}
		require.InDelta(t, want, sum, 1e-12)
	}
}
