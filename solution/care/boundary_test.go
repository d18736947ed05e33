package care_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/care"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/internal/laws"
	"example.com/chelation/tables"
)

func TestAnswersSurviveJSON(t *testing.T) {
	b := demo.Mix(t, demo.Recipe(t))
	require.NoError(t, b.Dissolve(demo.Oxide(t, "lepidocrocite"), 30*measure.Gram))
	metals, err := care.Metals(b)
	require.NoError(t, err)
	ways, err := care.Recoveries(b, demo.Reagent(t, "muriatic acid"), demo.Reagent(t, "lye"))
	require.NoError(t, err)
	cautions, err := care.Cautions(demo.Tables(t), []tables.Reagent{demo.Reagent(t, "muriatic acid")}, []string{"zinc", "paint"})
	require.NoError(t, err)
	work := care.Work{Materials: []string{"galvanised", "spring"}, PH: 7, TemperatureC: 60, HardnessFraction: 0.1}
	parts, err := work.Parts(demo.Tables(t))
	require.NoError(t, err)
	practice, err := work.Practice(demo.Tables(t))
	require.NoError(t, err)
	bake, err := care.Bake(demo.Tables(t), 45)
	require.NoError(t, err)
	for _, answer := range []any{metals, ways, cautions, parts, practice, bake} {
		require.Equal(t, answer, laws.ThroughJSON(t, answer))
	}
}

func TestZeroValues(t *testing.T) {
	lye := demo.Reagent(t, "lye")
	for _, b := range []*bath.Bath{nil, {}} {
		_, err := care.Metals(b)
		require.ErrorIs(t, err, chem.ErrInput)
		_, err = care.Recoveries(b, lye, lye)
		require.ErrorIs(t, err, chem.ErrInput)
	}
	b := demo.Mix(t, demo.Recipe(t))
	_, err := care.Recoveries(b, tables.Reagent{}, lye)
	require.ErrorIs(t, err, chem.ErrInput)
	_, err = care.Recoveries(b, lye, lye) // does not take it to pH 1.8
	require.ErrorIs(t, err, chem.ErrInput)
	_, err = care.Cautions(demo.Tables(t), []tables.Reagent{{}}, []string{"no such thing"})
	require.ErrorIs(t, err, tables.ErrNotFound)
	_, err = care.Work{Materials: []string{"chrom plate"}}.Practice(demo.Tables(t))
	require.ErrorContains(t, err, "chrome plate")
	_, err = care.Bake(&tables.Tables{}, 45)
	require.ErrorIs(t, err, chem.ErrInput)
}

// A treated bath is told by the chelants that are in it, weighed as their acids: 0.1
// mol of NTA in a litre is 19.1 g/L of its acid, of DTPA 39.3 g/L (191.14 and
// 393.35 g/mol, arithmetic); neither has an acid that the tables let settle. What a
// weak chelant holds counts where there is no strong one.
func TestRecoveriesOfOtherChelants(t *testing.T) {
	for _, x := range []struct {
		anions []string
		charge float64
		called string
		left   float64 // g/L
	}{
		{[]string{"nta3-"}, 3, "of NTA.", 19.114},
		{[]string{"dtpa5-"}, 5, "of DTPA.", 39.335},
		{[]string{"edta4-", "nta3-"}, 7, "of EDTA and NTA.", 29.224 + 19.114},
		{[]string{"cit3-"}, 3, "of citrate.", 19.212},
	} {
		v, err := solution.New(demo.Tables(t), chem.Celsius(25))
		require.NoError(t, err)
		require.NoError(t, v.AddPureWater(measure.Litre))
		for _, anion := range x.anions {
			require.NoError(t, v.AddSpecies(anion, 0.1))
		}
		require.NoError(t, v.AddSpecies("Na+", unit.Mole(0.1*x.charge)))
		b, err := bath.New(demo.Tables(t), v)
		require.NoError(t, err)
		ways, err := care.Recoveries(b, demo.Reagent(t, "muriatic acid"), demo.Reagent(t, "lye"))
		require.NoError(t, err)
		air := ways[2]
		require.Contains(t, air.Text, x.called)
		require.InDelta(t, x.left, air.ChelantLeftMgPerLitre/1000, 0.005*x.left)
	}
}
