package bath

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// An end at which the oxide is given another constant is where a bath ends that was dosed and
// solved with that constant from the beginning.
func TestShiftedEnds(t *testing.T) {
	std, err := tables.Standard()
	require.NoError(t, err)
	v, err := solution.New(std, chem.Celsius(20))
	require.NoError(t, err)
	require.NoError(t, v.AddPureWater(0.02)) // 20 L
	for species, n := range map[string]unit.Mole{"edta4-": 1.1, "Na+": 4.9, "H3cit": 1, "Cl-": 0.5} {
		require.NoError(t, v.AddSpecies(species, n))
	}
	for _, name := range []string{"ferrihydrite", "lepidocrocite", "goethite"} {
		o, err := FindOxide(std, name)
		require.NoError(t, err)
		f, err := std.Formation(o.Species)
		require.NoError(t, err)
		for _, pH := range []float64{alone, 5, 7, 9} {
			b, err := New(std, v)
			require.NoError(t, err)
			c := b.contact(o)
			e, ok := c.ends(pH)
			require.True(t, ok)
			k := 0
			for e.Text[len(e.Species)+k] != o.Species {
				k++
			}
			for _, shift := range []float64{-0.5, 0.5} {
				logK := f.Constant.Log10K(v.Temperature(), 0) + shift
				require.NoError(t, e.shift(k, logK))
				got := c.reached(e)
				c.vessel = b.Solution.Clone()
				require.NoError(t, c.vessel.SetConstant(o.Species, logK, 0))
				want := c.end(pH)
				require.NoError(t, c.err)
				require.InEpsilon(t, want.IronMoles, got.IronMoles, 2e-3, "%s %g %g", name, pH, shift)
				require.LessOrEqual(t, math.Abs(want.PH-got.PH), 1e-9)
			}
			e.Return()
		}
	}
}

// Half full, a chelant's share of iron goes with its conditional constant by hand as B (T − B)/T ln 10 σ,
// and that of a complex of iron(III) with its hydroxides is known to some tenths of a log unit.
func TestOthersByOneConstant(t *testing.T) {
	std, err := tables.Standard()
	require.NoError(t, err)
	v, err := solution.New(std, chem.Celsius(20))
	require.NoError(t, err)
	require.NoError(t, v.AddPureWater(0.02))
	for species, n := range map[string]unit.Mole{"edta4-": 1.1, "Na+": 4.4} {
		require.NoError(t, v.AddSpecies(species, n))
	}
	o, err := FindOxide(std, "hematite")
	require.NoError(t, err)
	b, err := New(std, v)
	require.NoError(t, err)
	c := b.contact(o)
	e, ok := c.ends(9)
	require.True(t, ok)
	defer e.Return()
	held := c.reached(e).IronMoles
	require.InDelta(t, 0.5, held/1.1, 0.2)
	iron, _ := c.others(e, slices.Index(e.Text, o.Species)-len(e.Species))
	sigma := iron / (held * (1.1 - held) / 1.1 * math.Ln10)
	require.InDelta(t, 0.5, sigma, 0.4)
}
