package stiff

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// Each step that is let pass is off by no more than what was asked, beside e^(−λh) of a decay from
// one to nothing whose second number is the time, and by a good part of it, so that none is wasted; of
// what is below the absolute error nobody asks. What it takes grows with the cube root of
// the tolerance, and a problem is not begun with steps that have to be taken back.
func TestStepsAreAsGoodAsAsked(t *testing.T) {
	const lambda = 30.0
	for tolerance, most := range map[float64]float64{1e-2: 9, 1e-3: 8, 1e-5: 6} {
		for _, absolute := range []float64{1e-9, 1e-4} {
			calls, steps, worst, sum := 0, 0, 0.0, 0.0
			p := Problem{Relative: tolerance, Absolute: []float64{absolute, 1}, Rates: func(y, dy []float64) error {
				calls++
				dy[0], dy[1] = -lambda*y[0], 1
				return nil
			}}
			y := []float64{1, 0}
			require.NoError(t, p.Integrate(2, y, func(y0, y1 []float64) error {
				off := math.Abs(y1[0]-y0[0]*math.Exp(-lambda*(y1[1]-y0[1]))) / (tolerance*math.Abs(y0[0]) + absolute)
				worst, sum, steps = max(worst, off), sum+off, steps+1
				return nil
			}))
			require.InDelta(t, 2, y[1], 1e-9)
			require.Less(t, worst, 0.55)
			require.Greater(t, sum/float64(steps), 0.2)
			require.LessOrEqual(t, float64(steps), most/math.Cbrt(tolerance))
			require.Equal(t, 4*steps+1, calls, "two for the derivatives and two for the step, and none taken back")
		}
	}
}

// A step too far, into what cannot be, is taken again a tenth as long until it can be; where it
// never can, what stands in the way is told after as many tries as there are decades.
func TestStepsTooFar(t *testing.T) {
	errThere := errors.New("no rates there")
	taken := map[float64]int{}
	for _, span := range []float64{1, 1e9} {
		for _, wall := range []float64{0.5, 2} {
			reached, calls, steps := 0.0, 0, 0
			p := Problem{Relative: 1e-3, Absolute: []float64{1e-6 * span}, Rates: func(y, dy []float64) error {
				calls++
				if y[0] > reached+0.02*span || y[0] > wall*span {
					return errThere
				}
				dy[0] = 1
				return nil
			}}
			y := []float64{0}
			err := p.Integrate(span, y, func(_, y1 []float64) error { reached = y1[0]; steps++; return nil })
			if wall > 1 {
				require.NoError(t, err)
				require.InEpsilon(t, span, y[0], 1e-9)
				require.GreaterOrEqual(t, steps, 50)
			} else {
				require.ErrorIs(t, err, errThere)
				require.InEpsilon(t, wall*span, y[0], 1e-6)
			}
			require.Less(t, calls, 600)
			if taken[wall] += calls; span > 1 {
				require.Equal(t, 2*calls, taken[wall], "whatever time is measured in")
			}
		}
	}
}

// A flame, y' = y² (1 − y), smoulders for 1/y₀ and is all there at once: steps into that are taken back,
// a few times and no more, until they are as good as asked. By hand the time from y₀ to y is that
// between the values of ln(y/(1 − y)) − 1/y.
func TestStepsTakenBack(t *testing.T) {
	var back []int
	for _, tolerance := range []float64{1e-2, 1e-3, 1e-4} {
		calls, steps, worst := 0, 0, 0.0
		p := Problem{Relative: tolerance, Absolute: []float64{1e-9, 1}, Rates: func(y, dy []float64) error {
			calls++
			dy[0], dy[1] = y[0]*y[0]*(1-y[0]), 1
			return nil
		}}
		clock := func(y float64) float64 { return math.Log(y/(1-y)) - 1/y }
		y := []float64{1e-4, 0}
		require.NoError(t, p.Integrate(11000, y, func(y0, y1 []float64) error {
			if steps++; y1[0] < 0.99 { // beyond, what is left of it is rounding
				slope := y1[0] * y1[0] * (1 - y1[0])
				off := math.Abs(clock(y1[0])-clock(y0[0])-y1[1]+y0[1]) * slope / (tolerance * y1[0])
				worst = max(worst, off)
			}
			return nil
		}))
		require.Less(t, worst, 1.0)
		require.InDelta(t, 1, y[0], 1e-6)
		back = append(back, (calls-1-4*steps)/2) // the derivatives are not found again
	}
	require.LessOrEqual(t, back[1], 16)
	require.Positive(t, back[0])
}
