package stiff

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// Three reactions of rates nine decades apart: H. H. Robertson 1966, as reference
// problem ROBER in E. Hairer & G. Wanner, Solving Ordinary Differential Equations
// II, 2nd ed. (1996), section IV.10; the values at t = 40 from A. C. Hindmarsh's
// documentation of the problem, from memory.
func TestRobertson(t *testing.T) {
	p := Problem{Relative: 1e-5, Absolute: []float64{1e-8, 1e-12, 1e-8}, Rates: func(y, dy []float64) error {
		dy[0] = -0.04*y[0] + 1e4*y[1]*y[2]
		dy[2] = 3e7 * y[1] * y[1]
		dy[1] = -dy[0] - dy[2]
		return nil
	}}
	y := []float64{1, 0, 0}
	steps := 0
	require.NoError(t, p.Integrate(40, y, func(_, _ []float64) error { steps++; return nil }))
	require.InEpsilon(t, 0.7158, y[0], 2e-4)
	require.InEpsilon(t, 9.185e-6, y[1], 2e-3)
	require.InEpsilon(t, 0.2842, y[2], 4e-4)
	require.InDelta(t, 1, y[0]+y[1]+y[2], 1e-9, "linear sums are kept")
	require.Less(t, steps, 600)
}

// A fast part that follows a slow one, y' = -λ(y − cos t) − sin t with y = cos t,
// from off the curve: A. Prothero & A. Robinson, Math. Comput. 28 (1974) 145.
func TestFollowsTheSlowPart(t *testing.T) {
	const lambda = 1e6
	for _, tolerance := range []float64{1e-3, 1e-5} {
		p := Problem{Relative: tolerance, Absolute: []float64{1e-9, 1e-9}, Rates: func(y, dy []float64) error {
			dy[0], dy[1] = -lambda*(y[0]-math.Cos(y[1]))-math.Sin(y[1]), 1 // the second is the time
			return nil
		}}
		y := []float64{2, 0}
		require.NoError(t, p.Integrate(1.2, y, nil))
		require.InDelta(t, math.Cos(1.2), y[0], 10*tolerance)
	}
}

// Halving the tolerance by a thousand brings the error down by about as much.
func TestOrder(t *testing.T) {
	off := func(tolerance float64) float64 {
		p := Problem{Relative: tolerance, Absolute: []float64{1e-12}, Rates: func(y, dy []float64) error {
			dy[0] = -y[0] * y[0]
			return nil
		}}
		y := []float64{1}
		require.NoError(t, p.Integrate(9, y, nil)) // y = 1/(1 + t)
		return math.Abs(y[0]/0.1 - 1)
	}
	require.Less(t, off(1e-3), 1e-2)
	require.Less(t, off(1e-6), 1e-4)
}
