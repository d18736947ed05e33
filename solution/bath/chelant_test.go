package bath_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
)

// anionBath is a litre of pure water at 25 °C with 0.1 mol of the sodium salt of a
// chelating anion, brought to a pH with hydrochloric acid or lye.
func anionBath(t *testing.T, anion string, charge, pH float64) *bath.Bath {
	t.Helper()
	v, err := solution.New(demo.Tables(t), chem.Celsius(25))
	require.NoError(t, err)
	require.NoError(t, v.AddPureWater(measure.Litre))
	require.NoError(t, v.AddSpecies(anion, 0.1))
	require.NoError(t, v.AddSpecies("Na+", unit.Mole(0.1*charge)))
	b, err := bath.New(demo.Tables(t), v)
	require.NoError(t, err)
	b, err = b.At(pH)
	require.NoError(t, err)
	return b
}

// Whatever chelant the tables class as strong gets the answers that EDTA gets, and a
// weak one alone counts as the main one. NTA, DTPA and HEDTA hold iron one to one:
// 5.58 g for 0.1 mol (arithmetic).
func TestEveryChelantGetsAnswers(t *testing.T) {
	o, citric, muriatic := demo.Oxide(t, "lepidocrocite"), demo.Reagent(t, "citric acid"), demo.Reagent(t, "muriatic acid")
	for _, x := range []struct {
		anion  string
		charge float64
		strong bool
	}{{"edta4-", 4, true}, {"nta3-", 3, true}, {"dtpa5-", 5, true}, {"hedta3-", 3, true}, {"cit3-", 3, false}} {
		t.Run(x.anion, func(t *testing.T) {
			b := anionBath(t, x.anion, x.charge, 6)
			c, err := b.Capacities(o, 6)
			require.NoError(t, err)
			require.Equal(t, x.strong, c.Chelants.Of(x.anion).Strong)
			require.InDelta(t, 5.58, c.Chelant.IronGrams, 0.01)
			require.InDelta(t, bath.PracticalShare*min(c.Chelant.IronGrams, c.Equilibrium.IronGrams), c.Practical.IronGrams, 1e-9)
			require.Positive(t, c.Proton.IronMoles)
			require.Greater(t, c.EndPH, 6.0)

			d, err := b.Diagnose(o, 6, citric)
			require.NoError(t, err)
			require.Contains(t, []bath.Cause{bath.Working, bath.Drifted}, d.Cause)
			require.InDelta(t, 1, d.FreeChelantFraction, 1e-9)

			u, err := b.Upkeep(muriatic, o, 6, 0.5)
			require.NoError(t, err)
			require.NotEmpty(t, u.Doses)
			require.Positive(t, u.AcidPerRustGram)

			drift, err := b.Drift(o, 2)
			require.NoError(t, err)
			require.Less(t, drift[2].FreeChelantFraction, 1.0)
			require.Positive(t, drift[2].IronPerChelant)

			require.NoError(t, b.Dissolve(o, 4*measure.Gram))
			r, err := b.Redox()
			require.NoError(t, err)
			require.Positive(t, r.InBath.ChelantFraction)
		})
	}
}
