package solution

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// Exact derivatives against central differences of the fourth order.
func TestResponseAgainstDifferences(t *testing.T) {
	for name, s := range map[string]*Solution{
		"alkaline": tub(t),
		"neutral": func() *Solution {
			s := tub(t)
			require.NoError(t, s.Add(reagent(t, "citric acid"), 0.080))
			return s
		}(),
		"with a solid": func() *Solution {
			s := tub(t)
			require.NoError(t, s.AddSpecies("Fe(OH)3(s, ferrihydrite)", 0.5))
			return s
		}(),
		"open": func() *Solution {
			s := tub(t)
			require.NoError(t, s.Open(AirCO2))
			require.NoError(t, s.Add(reagent(t, "citric acid"), 0.050))
			return s
		}(),
	} {
		for _, add := range []string{"citric acid", "washing soda", "calcium chloride"} {
			r := reagent(t, add)
			base := s.Clone()
			require.NoError(t, base.Add(r, 0.004)) // so that there is something to take back
			_, d, err := base.Response(r)
			require.NoError(t, err)
			h := 0.05 // g
			at := func(k float64) *State {
				v := s.Clone()
				require.NoError(t, v.Add(r, unit.Mass((4+k*h)/1000)))
				return equilibrate(t, v)
			}
			a, b, c, e := at(-2), at(-1), at(1), at(2)
			slope := func(f func(*State) float64) float64 { return (f(a) - 8*f(b) + 8*f(c) - f(e)) / (12 * h) }
			close := func(want, got float64, what string) {
				assert.InDelta(t, want, got, 2e-6*math.Abs(want)+1e-13, "%s, %s: %s", name, add, what)
			}
			close(slope(func(x *State) float64 { return x.PH }), d, "pH")
		}
	}
}

// The buffer capacity of an acetate buffer at pH = pKa is ln10 c/4 (D. D. Van
// Slyke, J. Biol. Chem. 52 (1922) 525), to which the drift of the constants with
// ionic strength adds little.
func TestBufferCapacity(t *testing.T) {
	s, err := New(standard(t), 298.15)
	require.NoError(t, err)
	require.NoError(t, s.AddPureWater(litre))
	for _, ion := range []string{"Hac", "Na+", "ac-"} {
		require.NoError(t, s.AddSpecies(ion, 0.05))
	}
	st := equilibrate(t, s)
	assert.InEpsilon(t, math.Ln10*0.1/4, st.BufferCapacityMolPerLitre, 0.02)
	water, err := New(standard(t), 298.15)
	require.NoError(t, err)
	require.NoError(t, water.AddPureWater(litre))
	assert.InEpsilon(t, math.Ln10*2e-7, equilibrate(t, water).BufferCapacityMolPerLitre, 0.01, "pure water: ln10 ([H+] + [OH-])")
}
