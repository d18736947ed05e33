package tables

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
)

func TestFormationByName(t *testing.T) {
	tb := standardTables(t)
	for name, want := range map[string]string{
		"bicarbonate": "HCO3-", "Hydrogen carbonate": "HCO3-", "ferric EDTA": "Fe(edta)-", "goethite": "FeOOH(s, goethite)",
		"iron(II)": "Fe2+", "citric acid": "H3cit", "carbonic gas": "CO2(g)", " OH- ": "OH-",
	} {
		f, err := tb.Formation(name)
		require.NoError(t, err, name)
		assert.Equal(t, want, f.Species.String(), name)
		if c := tb.Name(f.Species); c != "" {
			again, err := tb.Formation(c)
			require.NoError(t, err)
			assert.Equal(t, want, again.Species.String())
		}
	}
	_, err := tb.Formation("bicarbonat")
	assert.ErrorContains(t, err, `such as "bicarbonate"`)
	_, err = tb.Formation("FeOOH(s)")
	assert.ErrorContains(t, err, "goethite")
	_, err = tb.Formation("Fe(edtb)-")
	assert.ErrorContains(t, err, "Fe(edta)")
}

func TestBetween(t *testing.T) {
	tb := standardTables(t)
	list := func(names ...string) string {
		all, err := tb.Between(names...)
		require.NoError(t, err)
		var out []string
		for _, f := range all {
			out = append(out, f.Species.String())
		}
		return strings.Join(out, " ")
	}
	assert.Equal(t, "FeH(edta) Fe(edta)- Fe(OH)(edta)^2- Fe(OH)2(edta)^3- Fe2(OH)2(edta)2^4-", list("Fe3+", "edta"))
	assert.Equal(t, list("ferric", "edetate"), list("Fe3+", "edta4-"))
	assert.Equal(t, "H3PO4 H2PO4- HPO4^2- PO4^3-", list("phosphate"))
	assert.Equal(t, "Na+", list("sodium"))
	_, err := tb.Between("Fe3+", "edtta")
	assert.ErrorIs(t, err, ErrNotFound)
}

// The constant of a reaction does not depend on the way it is added up, nor
// its uncertainty on steps that cancel.
func TestConstantOfReaction(t *testing.T) {
	tb := standardTables(t)
	f, err := tb.Formation("Fe(OH)(edta)^2-")
	require.NoError(t, err)
	e, _ := tb.EquilibriumAt(f.Steps[0].Equilibrium)
	k, err := tb.Constant("Fe(OH)(edta)^2- + H+ = Fe(edta)- + H2O")
	require.NoError(t, err)
	for _, x := range []float64{5, 25, 45} {
		assert.InDelta(t, e.Log10K(chem.Celsius(x), 0.3), k.Log10K(chem.Celsius(x), 0.3), 1e-12)
		assert.InDelta(t, e.Sigma(chem.Celsius(x), 0.3), k.Sigma(chem.Celsius(x), 0.3), 1e-12)
	}
	assert.Equal(t, e.Span, k.Span)
	_, err = tb.Constant("Fe3+ + edta4- = Fe(edta)^2-")
	assert.ErrorIs(t, err, chem.ErrInput)
	_, err = tb.Constant("Fe3+ + 6 NH3 = Fe(NH3)6^3+")
	assert.ErrorIs(t, err, ErrNotFound)
	_, err = tb.Constant("Fe3+")
	assert.ErrorIs(t, err, chem.ErrInput)
}

// Where sources disagree by more than 0.3 log units or 8 kJ/mol, both stay and
// the note says what was done: "held: " or "disagrees: " and the reason.
func TestDisagreementIsExplained(t *testing.T) {
	tb := standardTables(t)
	n := 0
	for _, e := range slices.Concat(slices.Collect(tb.Equilibria()), slices.Collect(tb.Unused())) {
		for _, o := range e.Observations {
			limit := 0.3
			if o.Quantity == chem.Enthalpy {
				limit = 8000
			}
			if math.Abs(o.Residual) > limit || e.Missing != "" {
				n++
				assert.Regexp(t, "(held|disagrees): .{6}", o.Note, "%s: %s at I = %g: off by %.3g", e.Table, e.Reaction, o.IonicStrengthMolPerLitre, o.Residual)
			}
			if strings.Contains(o.Note, "disagrees: ") {
				assert.Greater(t, math.Abs(o.Residual), limit, "%s: %s: the note is out of date", e.Table, e.Reaction)
			}
		}
	}
	assert.Greater(t, n, 50)
}

// Held rows of reactions that other reactions make are compared with these:
// NIST SRD 46 row 170807 lies 1.2 units above Stefánsson (2007).
func TestUnused(t *testing.T) {
	for e := range standardTables(t).Unused() {
		if e.Reaction.String() == "Fe3+ + 2 OH- = Fe(OH)2+" {
			last := e.Observations[len(e.Observations)-1]
			assert.InDelta(t, -5.76+2*13.997, e.LogK, 0.02)
			assert.InDelta(t, 1.2, last.Residual, 0.05)
			return
		}
	}
	t.Fatal("not found")
}

func TestOrdersAreVerified(t *testing.T) {
	for file, edit := range map[string][2]string{
		"solid-orders.csv":           {"CaCO3(s, vaterite) = CaCO3(s, aragonite)", "CaCO3(s, aragonite) = CaCO3(s, vaterite)"},
		"names.csv":                  {"HCO3-,bicarbonate", "HCO3-,carbonic acid"},
		"constants/phosphate.csv":    {"H2PO4- + H+ = H3PO4,log K,25,0.1,,1.92,", "H2PO4- + H+ = H3PO4,log K,25,0.1,,71.92,"},
		"constants/iron-phases.csv":  {",log K,25,0,,1.83,0.31,", ",log K,25,0,,-1.83,0.31,"},
		"constants/carbonate.csv":    {"HCO3- + H+ = H2CO3", "H+ + HCO3- = H2CO3"},
		"constants/hydroxide.csv":    {"Fe3+ + OH- = FeOH^2+", "Fe3+ + OH- = FeOH+"},
		"constants/iron-phases.csv ": {"Fe3O4(s, magnetite)", "Fe3O4(s, magnetit)"},
	} {
		file = strings.TrimSpace(file)
		text := strings.Replace(content(t, file), edit[0], edit[1], 1)
		require.NotEqual(t, content(t, file), text, file)
		_, err := new(Tables).With(changed(t, file, text))
		assert.ErrorIs(t, err, ErrData, "%s: %s", file, edit[1])
	}
}
