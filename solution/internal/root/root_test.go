package root_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/solution/internal/root"
)

var errThere = errors.New("no value there")

// curves rise or fall through their root at x, gently, steeply, with a kink or flat on one side.
func curves(x float64, r *rand.Rand) map[string]func(float64) float64 {
	steep := math.Exp(6 * r.Float64())
	return map[string]func(float64) float64{
		"line":    func(v float64) float64 { return steep * (v - x) },
		"falling": func(v float64) float64 { return math.Exp(x) - math.Exp(v) },
		"kink":    func(v float64) float64 { return max(v-x, steep*(v-x)) },
		"s":       func(v float64) float64 { return math.Atan(steep * (v - x)) },
		"flat":    func(v float64) float64 { return math.Pow(v-x, 3) },
		"step":    func(v float64) float64 { return math.Copysign(1, v-x) },
	}
}

// A root is found to the last digits, or to what is noise, wherever between the ends it lies and at
// either end itself, from both sides, in few looks; and what fails there is told.
func TestBetween(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 41))
	looks := 0
	for n := range 400 {
		x := []float64{2 * r.Float64(), 0, 2, 1e-9}[min(n%8, 3)]
		for name, f := range curves(x, r) {
			counted := func(v float64) (float64, error) { looks++; return f(v), nil }
			for _, ends := range [][2]float64{{0, 2}, {2, 0}} {
				if name == "step" && x == 0 {
					continue // it does not change its sign between them
				}
				got, err := root.Between(counted, ends[0], f(ends[0]), ends[1], f(ends[1]), 0)
				require.NoError(t, err)
				require.True(t, f(got) == 0 || math.Abs(got-x) < 1e-14*(1+x) || name == "flat" && math.Abs(got-x) < 1e-5, "%s: %g for %g", name, got, x)
				near, err := root.Between(counted, ends[0], f(ends[0]), ends[1], f(ends[1]), 0.01)
				require.NoError(t, err)
				require.True(t, math.Abs(f(near)) <= 0.01 || math.Abs(near-x) < 1e-14*(1+x), name)
			}
		}
	}
	require.Less(t, looks, 160_000)
	fails := func(v float64) (float64, error) { return v - 1, errThere }
	_, err := root.Between(fails, 0, -1, 2, 1, 0)
	require.ErrorIs(t, err, errThere)
	half, err := root.Between(func(v float64) (float64, error) { return v - 1.5, nil }, 0, math.Inf(-1), 2, 0.5, 1e-12)
	require.NoError(t, err)
	require.InDelta(t, 1.5, half, 1e-9, "an end without a number")
}

// From finds a root from nothing but the size of the slope, be it told a hundred times too large
// or too small, and says where none lies within the most.
func TestFrom(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 42))
	looks := 0
	for range 400 {
		x := math.Exp(12*r.Float64() - 6)
		for name, f := range curves(x, r) {
			if name == "step" || name == "falling" && x > 20 {
				continue
			}
			counted := func(v float64) (float64, error) { looks++; return f(v), nil }
			scale := math.Abs(f(0)) / x * math.Exp(9*r.Float64()-4.5)
			got, found, err := root.From(counted, scale, 1.5*x, 0)
			require.NoError(t, err)
			require.True(t, found, name)
			require.InEpsilon(t, x, got, 1e-5, name)
			_, found, err = root.From(counted, scale, 0.99*x, 0)
			require.NoError(t, err)
			require.False(t, found, name)
			at, found, err := root.From(counted, scale, x, 2*math.Abs(f(0)))
			require.NoError(t, err)
			require.True(t, found && at == 0, "at its start, within the noise")
		}
	}
	require.Less(t, looks, 104_000)
	for _, slope := range []float64{0.01, 8, 500} { // a line of a slope that is known
		looks = 0
		got, found, err := root.From(func(v float64) (float64, error) { looks++; return slope * (v - 3), nil }, slope, 10, 1e-9)
		require.NoError(t, err)
		require.True(t, found)
		require.InDelta(t, 3, got, 1e-6)
		require.Equal(t, 2, looks)
	}
	for _, from := range []float64{0, 1, 2} {
		_, found, err := root.From(func(v float64) (float64, error) {
			if v >= from {
				return 0, errThere
			}
			return v - 3, nil
		}, 3, 10, 0)
		require.ErrorIs(t, err, errThere)
		require.False(t, found)
	}
}

// Last halves down to the tolerance, whichever side holds, and to neighbours where it is nothing.
func TestLast(t *testing.T) {
	for _, tolerance := range []float64{0.3, 1e-3, 0} {
		for _, ends := range [][2]float64{{0, 2}, {2, 0}} {
			looks := 0
			got, err := root.Last(ends[0], ends[1], tolerance, func(v float64) (bool, error) {
				looks++
				return (v <= 1.234) == (ends[0] < ends[1]), nil
			})
			require.NoError(t, err)
			require.InDelta(t, 1.234, got, tolerance+1e-15)
			require.Equal(t, ends[0] < ends[1], got <= 1.234, "on the side that holds")
			require.LessOrEqual(t, looks, 60)
			if tolerance > 0 {
				require.Equal(t, math.Ceil(math.Log2(2/tolerance)), float64(looks))
			}
		}
	}
	_, err := root.Last(0, 1, 0, func(float64) (bool, error) { return true, errThere })
	require.ErrorIs(t, err, errThere)
}
