package grain

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// The two laws in their limits: covered grains far from equilibrium lose their size in
// the time that they are given; half covered in twice that; and through a thin film no
// more goes than it lets through, m c of the 3 N u² that a size holds.
func TestShrink(t *testing.T) {
	open := Rust{Iron: 1, Half: 1, Film: math.Inf(1)}
	require.InEpsilon(t, 1./100, open.Shrink(100, 1, 1e6, 1), 1e-5)
	require.InEpsilon(t, 1./200, open.Shrink(100, 0.5, 1, 1), 1e-12)
	require.InEpsilon(t, 0.3/200, open.Shrink(100, 0.5, 1, 0.3), 1e-12)
	film := Rust{Iron: 1, Half: 1e-9, Film: 1e-6}
	require.InEpsilon(t, 1e-6*30/(3*0.25), film.Shrink(1, 0.25, 30, 1), 1e-4)
	require.Zero(t, open.Shrink(100, 1, 0, 1))
	require.Zero(t, open.Shrink(100, 1, 1, -1))
	require.Equal(t, []float64{-3, 0, 1, 3}, []float64{Slowing(2), Slowing(7), Slowing(8), Slowing(9)})
}
