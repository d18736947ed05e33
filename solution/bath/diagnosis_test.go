package bath_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
)

// Each of the three reasons gets its own remedy.
func TestDiagnoses(t *testing.T) {
	citric := demo.Reagent(t, "citric acid")
	lepidocrocite, goethite := demo.Oxide(t, "lepidocrocite"), demo.Oxide(t, "goethite")
	fresh := demo.Mix(t, demo.Recipe(t))
	d, err := fresh.Diagnose(citric, lepidocrocite, 7)
	require.NoError(t, err)
	require.Equal(t, bath.Working, d.Cause)
	require.Nil(t, d.Acid)

	drifted := fresh.Clone()
	require.NoError(t, drifted.Dissolve(lepidocrocite, 45*measure.Gram))
	d, err = drifted.Diagnose(citric, lepidocrocite, 7)
	require.NoError(t, err)
	require.Equal(t, bath.Drifted, d.Cause)
	require.NotNil(t, d.Acid)
	require.Contains(t, d.Text, "only drifted")
	// The remedy works: with the acid in, the bath takes several times more.
	require.NoError(t, drifted.Add(citric, d.Acid.Mass()))
	better, err := drifted.Diagnose(citric, lepidocrocite, 7)
	require.NoError(t, err)
	require.InDelta(t, 7, better.PH, 1e-6)
	require.Greater(t, better.Now.IronMoles, 2*d.Now.IronMoles)

	spent := fresh.Clone()
	require.NoError(t, spent.Dissolve(lepidocrocite, 90*measure.Gram))
	spent, err = spent.At(7) // kept there by acid
	require.NoError(t, err)
	d, err = spent.Diagnose(citric, lepidocrocite, 7)
	require.NoError(t, err)
	require.Equal(t, bath.Spent, d.Cause)
	require.Nil(t, d.Acid)

	alkaline := demo.Recipe(t)
	alkaline.PH = 11
	d, err = demo.Mix(t, alkaline).Diagnose(citric, goethite, 11)
	require.NoError(t, err)
	require.Equal(t, bath.Barred, d.Cause)
	require.Contains(t, d.Text, "or below")
	// What it says works: with that acid in, half the chelant can be filled.
	require.NotNil(t, d.Acid)
	cured := demo.Mix(t, alkaline)
	require.NoError(t, cured.Add(citric, d.Acid.Mass()))
	st, err := cured.State()
	require.NoError(t, err)
	require.InDelta(t, d.TargetPH, st.PH, 1e-6)
	l, err := cured.Limit(goethite, st.PH)
	require.NoError(t, err)
	require.Greater(t, l.IronPerChelant, 0.5)

	none := demo.Recipe(t)
	none.Chelant, none.Acid, none.PH = demo.Reagent(t, "sodium gluconate"), demo.Reagent(t, "muriatic acid"), 6
	d, err = demo.Mix(t, none).Diagnose(citric, goethite, 7)
	require.NoError(t, err) // a weak chelant alone still gets an answer
	require.NotEmpty(t, d.Text)
}
