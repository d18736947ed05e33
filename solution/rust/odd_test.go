package rust_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/internal/root"
	"example.com/chelation/solution/rust"
)

// One sighting in fifty is a mistake, and a sighting counts as odd where half of it is that: a part
// clean by a time before which so few parts are, P, that 0.98 P is 0.02 or less. By hand from the range of
// hours, which holds nine parts in ten and is near to a normal one of their logarithms: 2.04 % lie
// below 2.046 standard deviations, 5 % below 1.645.
func TestWhenASightingIsOdd(t *testing.T) {
	p, b, d := pace(t), demo.Mix(t, demo.Recipe(t)), light(t, 30)
	x := hours(t, p, b, d)
	first, err := root.Last(x.Low, x.Low/20, 1e-3*x.Low, func(hours float64) (bool, error) {
		seen, err := p.Seen(b, d, unit.Time(hours)*measure.Hour, 1)
		return err == nil && seen.Odd() == 0, err
	})
	require.NoError(t, err)
	normal := distuv.UnitNormal.Quantile
	require.InDelta(t, normal(0.02/0.98), normal(0.05)*math.Log(x.Typical/first)/math.Log(x.Typical/x.Low), 0.12)
}

// A unit lower is weighed down to pH 5 and not beyond (judgement: below it the acid takes steel faster
// than rust), in a bath at 6.2 but not in one at 5.8.
func TestHowLowALeverGoes(t *testing.T) {
	for pH, weighed := range map[float64]bool{6.2: true, 5.8: false} {
		b, err := demo.Mix(t, demo.Recipe(t)).At(pH)
		require.NoError(t, err)
		levers, err := pace(t).Levers(b, light(t, 30))
		require.NoError(t, err)
		require.Equal(t, weighed, slices.ContainsFunc(levers, func(l rust.Lever) bool { return l.ID == "lower-ph" }), "pH %g", pH)
	}
}
