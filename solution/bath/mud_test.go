package bath_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
)

// Mud is the cause from one iron in it for fifty chelants, as the thresholds of a
// diagnosis say: a bath on either side of that is told apart.
func TestMudFromOneInFifty(t *testing.T) {
	o := demo.Oxide(t, "lepidocrocite")
	muddy := func(times float64) (*bath.Bath, float64) {
		b := demo.Mix(t, demo.Recipe(t))
		for species, n := range map[string]float64{"Fe3+": 1.2, "Na+": 1.0, "Cl-": 0.3, "OH-": 4.3} {
			require.NoError(t, b.AddSpecies(species, unit.Mole(n*times)))
		}
		st := state(t, b)
		iron := 0.0
		for _, s := range st.Solids {
			for _, part := range s.Made {
				if part.Component == "Fe3+" {
					iron += part.N * s.Moles
				}
			}
		}
		return b, iron / (500 * demo.Recipe(t).Chelant.MolPerGram().Typical)
	}
	for _, want := range []float64{0.019, 0.021} {
		low, high := 0.0, 1.0
		for range 30 {
			if _, share := muddy((low + high) / 2); share < want {
				low = (low + high) / 2
			} else {
				high = (low + high) / 2
			}
		}
		b, share := muddy(high)
		require.InDelta(t, want, share, 1e-4)
		d, err := b.Diagnose(o, 7, demo.Reagent(t, "citric acid"))
		require.NoError(t, err)
		assert.Equal(t, want > 0.02, d.Cause == bath.Settled, "%g: %s", want, d.Text)
	}
}

// The sun ends a chelant altogether and not beyond: day by day there is less of it, to
// a thousandth of what there was, and never less than none.
func TestSunEndsAChelant(t *testing.T) {
	b := used(t, bath.Place{Cover: bath.Still, Light: bath.Sunlit, SurfaceCm2: 20000})
	before := amounts(t, b, "edta4-")[0]
	c, err := b.Course(bath.Parts{})
	require.NoError(t, err)
	hours, err := c.Until(24*measure.Hour, 96*measure.Hour, 400*measure.Hour, 1000*measure.Hour)
	require.NoError(t, err)
	for _, h := range hours {
		left := before - h.LightSpoiltMoles.Typical - h.AirSpoiltMoles.Typical
		assert.GreaterOrEqual(t, left, -1e-9)
	}
}

// A thin bath lets light through: at 1 mmol/L of iron(III), the half as the judgement in
// the code has it, it spoils half of what the sun can, 0.12 mol a square metre and day, and
// at nine times that nine tenths.
func TestThinBathsLetLightThrough(t *testing.T) {
	for _, mmol := range []float64{1, 9} {
		b := demo.Mix(t, demo.Recipe(t))
		require.NoError(t, b.AddSpecies("Fe3+", unit.Mole(mmol*b.Litres()/1000)))
		require.NoError(t, b.AddSpecies("OH-", unit.Mole(3*mmol*b.Litres()/1000)))
		require.NoError(t, b.Stand(bath.Place{Cover: bath.Still, Light: bath.Sunlit, SurfaceCm2: 1000}))
		h, err := b.Pass(bath.Parts{}, measure.Hour)
		require.NoError(t, err)
		assert.InEpsilon(t, 0.12*0.1/24*mmol/(mmol+1), h.LightSpoiltMoles.Typical, 0.01, "%g mmol/L", mmol)
	}
}

// Ten degrees are not too cold yet, nine are.
func TestTenDegreesAreEnough(t *testing.T) {
	for celsius, cause := range map[float64]bath.Cause{10: bath.Working, 9.9: bath.TooCold} {
		r := demo.Recipe(t)
		r.Temperature = chem.Celsius(celsius)
		d, err := demo.Mix(t, r).Diagnose(demo.Oxide(t, "lepidocrocite"), 7, demo.Reagent(t, "citric acid"))
		require.NoError(t, err)
		assert.Equal(t, cause, d.Cause, "%g °C: %s", celsius, d.Text)
	}
}
