package reading

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A cubic is its own Hermite interpolant: x³ between 1 and 2 has values 1 and 8 and
// slopes 3 and 12, and half way 1.5³ = 3.375 and 3·1.5² = 6.75, a quarter on 1.25³ =
// 1.953125 and 3·1.25² = 4.6875.
func TestHermiteIsExactForCubics(t *testing.T) {
	p, q := point{pH: 1, base: 1, slope: 3}, point{pH: 2, base: 8, slope: 12}
	for x, want := range map[float64][2]float64{1.5: {3.375, 6.75}, 1.25: {1.953125, 4.6875}} {
		y, d := hermite(p, q, x)
		require.InDelta(t, want[0], y, 1e-12)
		require.InDelta(t, want[1], d, 1e-12)
	}
}
