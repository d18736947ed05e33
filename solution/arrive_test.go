package solution

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
)

// A vessel arrives where its flow has come to: steel takes two iron(III) to three
// iron(II), by hand. What is used up but for rounding is none, the hydrogen ions of an
// alkaline bath stay below zero, and a flow that went too far is not made good.
func TestArriveWhereTheFlowIs(t *testing.T) {
	r, err := chem.ParseReaction("2 Fe3+ + Fe(s) = 3 Fe2+")
	require.NoError(t, err)
	for _, x := range []struct{ extent, ferric, ferrous float64 }{{0.004, 0.012, 0.012}, {0.01 + 2e-17, 0, 0.03}, {0.011, -0.002, 0.033}} {
		s, err := New(standard(t), chem.Celsius(25))
		require.NoError(t, err)
		require.NoError(t, s.AddPureWater(1e-3))
		for ion, n := range map[string]float64{"Fe3+": 0.02, "Na+": 0.1, "OH-": 0.08, "edta4-": 0.02} {
			require.NoError(t, s.AddSpecies(ion, unit.Mole(n)))
		}
		f, err := s.Flow(r)
		require.NoError(t, err)
		f.Go([]float64{x.extent})
		s.Arrive(f)
		for ion, want := range map[string]float64{"Fe3+": x.ferric, "Fe2+": x.ferrous, "H+": -0.08, "edta4-": 0.02, "Na+": 0.1} {
			n, err := s.Amount(ion)
			require.NoError(t, err)
			assert.InDelta(t, want, float64(n), 1e-12, ion)
		}
		if x.ferric == 0 {
			n, err := s.Amount("Fe3+")
			require.NoError(t, err)
			assert.Zero(t, float64(n))
		}
	}
}

// Gas is told in litres at 1 atm, 101325 Pa (CODATA), and the vessel's temperature: RT/p
// of what left in mol. A dose waits for it where the pH moves by a fifth of a unit.
func TestLitresOfGas(t *testing.T) {
	for _, celsius := range []float64{10, 25} {
		s, err := New(standard(t), chem.Celsius(celsius))
		require.NoError(t, err)
		require.NoError(t, s.AddPureWater(1e-3))
		for ion, n := range map[string]float64{"Na+": 0.02, "HCO3-": 0.05, "H+": 0.03} {
			require.NoError(t, s.AddSpecies(ion, unit.Mole(n)))
		}
		before, err := s.Amount("CO3^2-")
		require.NoError(t, err)
		litres, err := s.Degas()
		require.NoError(t, err)
		after, err := s.Amount("CO3^2-")
		require.NoError(t, err)
		assert.Greater(t, litres, 0.3)
		assert.InEpsilon(t, float64(before-after)*8.314462618*(273.15+celsius)/101325*1000, litres, 1e-8)
	}
	for start, waits := range map[float64]bool{7: false, 7.1: false, 6.9: false, 7.3: true, 6.7: true} {
		assert.Equal(t, waits, OpenDose{StartPH: start, Target: PH(7)}.Waits(), "%g", start)
	}
}
