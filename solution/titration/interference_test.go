package titration_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/solution/titration"
	"example.com/chelation/tables"
)

// Only solids that take a metal from its chelant make waiting tell: where the bath holds no
// metal the endpoint is the same at once and later, though the acid of EDTA itself comes down,
// as it does at pH 3 from 0.05 mol/L (of which it dissolves a tenth or so).
func TestWaitingWithoutMetal(t *testing.T) {
	beaker := mix(t, 50, map[string]float64{"Na+": 0.1, "H2edta2-": 0.05})
	require.NoError(t, beaker.Allow("H4edta(s)"))
	require.NoError(t, beaker.HoldPH(3))
	calcium := mix(t, 100, map[string]float64{"Ca2+": 0.1, "Cl-": 0.2})
	run, err := titration.New(beaker, calcium, "Ca2+")
	require.NoError(t, err)
	solid, err := run.At(5*mL, "H4edta(s)")
	require.NoError(t, err)
	require.Greater(t, solid.MolPerLitre[0], 0.01)
	x := tables.Indicator{Kind: tables.Metallochromic, PKa: []float64{1}, Colours: []string{"blue", "blue"},
		Complexes: []tables.IndicatorComplex{{Metal: species(t, "Ca2+"), LogBeta: []float64{2.3}, Colour: "red"}}}
	i, err := titration.PredictInterference(context.Background(), beaker, 50*mL, calcium, x)
	require.NoError(t, err)
	require.NotNil(t, i.QuickMolPerLitre)
	require.NotNil(t, i.SlowMolPerLitre)
	require.InEpsilon(t, *i.SlowMolPerLitre, *i.QuickMolPerLitre, 1e-9)
	// and the solid matters: without it more chelant is there to take calcium
	require.NoError(t, beaker.Bar("H4edta(s)"))
	without, err := titration.PredictInterference(context.Background(), beaker, 50*mL, calcium, x)
	require.NoError(t, err)
	require.Greater(t, *without.QuickMolPerLitre, 1.01*(*i.QuickMolPerLitre))
}

// Twice the titrant that all the chelant takes is poured and no more: a dye that turns where nine
// tenths of that are in is reported, by its volume, and one that turns beyond is not.
func TestHowFarInterferenceLooks(t *testing.T) {
	beaker := mix(t, 50, map[string]float64{"Na+": 0.02, "H2edta2-": 0.01})
	require.NoError(t, beaker.HoldPH(10))
	calcium := mix(t, 100, map[string]float64{"Ca2+": 0.1, "Cl-": 0.2})
	run, err := titration.New(beaker, calcium, "Ca2+")
	require.NoError(t, err)
	for ml, reported := range map[float64]bool{9: true, 12: false} { // 0.5 mmol take 5 mL
		p, err := run.At(volumeOf(ml))
		require.NoError(t, err)
		x := tables.Indicator{Kind: tables.Metallochromic, PKa: []float64{1}, Colours: []string{"blue", "blue"},
			Complexes: []tables.IndicatorComplex{{Metal: species(t, "Ca2+"), LogBeta: []float64{p.P}, Colour: "red"}}}
		i, err := titration.PredictInterference(context.Background(), beaker, 50*mL, calcium, x)
		require.NoError(t, err)
		require.Equal(t, reported, i.QuickMolPerLitre != nil)
		if reported {
			require.InEpsilon(t, ml*0.1/50, *i.QuickMolPerLitre, 1e-4)
		}
	}
}

// A titrant without calcium or magnesium tells nothing of free chelant, and is refused.
func TestInterferenceWantsHardness(t *testing.T) {
	beaker := mix(t, 50, map[string]float64{"Na+": 0.02, "H2edta2-": 0.01, "Ca2+": 0.001, "Cl-": 0.002})
	_, err := titration.PredictInterference(context.Background(), beaker, 50*mL, mix(t, 100, map[string]float64{"Na+": 0.1, "Cl-": 0.1}), indicator(t, "EBT"))
	require.ErrorContains(t, err, "hardness of the titrant is 0 mol/L")
}
