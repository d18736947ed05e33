package bath_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/tables"
)

// 2 Fe(III) + Fe = 3 Fe(II): half a gram of steel for a gram of iron(III), half
// a mole of EDTA more for each mole (stoichiometry; named unavoidable at NACE
// Corrosion/79).
func TestSteelByIronIII(t *testing.T) {
	b := demo.Mix(t, demo.Recipe(t))
	require.NoError(t, b.Dissolve(demo.Oxide(t, "lepidocrocite"), 30*measure.Gram))
	r, err := b.Redox()
	require.NoError(t, err)
	require.InDelta(t, 0.5, r.Covered.SteelGrams/(r.FerricMoles*55.845), 1e-9)
	require.InDelta(t, 0.5, r.Covered.ChelantMoles/r.FerricMoles, 1e-9)
	require.Greater(t, r.Aired.SteelGrams, r.Covered.SteelGrams)

	before, err := b.Holdings()
	require.NoError(t, err)
	require.NoError(t, b.Corrode(unit.Mass(r.Covered.SteelGrams)*measure.Gram))
	after, err := b.Redox()
	require.NoError(t, err)
	require.InDelta(t, 0, after.FerricMoles, 1e-12)
	require.InDelta(t, 1.5*r.FerricMoles, after.FerrousMoles, 1e-9)
	holdings, err := b.Holdings()
	require.NoError(t, err)
	// EDTA holds it all, or nearly.
	require.InDelta(t, r.Covered.ChelantMoles, before[0].FreeMoles-holdings[0].FreeMoles, 0.05*r.Covered.ChelantMoles)

	// Air turns it back, one hydrogen ion for each: the pH climbs.
	st, err := b.State()
	require.NoError(t, err)
	require.NoError(t, b.Air())
	aired, err := b.State()
	require.NoError(t, err)
	require.Greater(t, aired.PH, st.PH)
	after, err = b.Redox()
	require.NoError(t, err)
	require.InDelta(t, 0, after.FerrousMoles, 1e-12)
	require.InDelta(t, 1.5*r.FerricMoles, after.FerricMoles, 1e-9)
}

// The assumed attack stays within the bookkeeping. 1 g/(m² h) is 1.114 mm a
// year at 7.87 g/cm³ (arithmetic); industrial cleaning accepts up to 8 g/(m² h),
// HG/T 2387-92, so that the assumption must lie below that.
func TestAttackIsBounded(t *testing.T) {
	b := demo.Mix(t, demo.Recipe(t))
	require.NoError(t, b.Dissolve(demo.Oxide(t, "lepidocrocite"), 30*measure.Gram))
	r, err := b.Redox()
	require.NoError(t, err)
	day, err := r.Attack(1, 24*3600, false)
	require.NoError(t, err)
	require.Less(t, day.High, 24*8.0)
	long, err := r.Attack(10, 1000*3600, false)
	require.NoError(t, err)
	require.Equal(t, r.Covered.SteelGrams, long.Low)
	require.Equal(t, r.Covered.SteelGrams, long.High)
	_, err = r.Attack(-1, 1, true)
	require.ErrorIs(t, err, chem.ErrInput)
}

// Acid alone dissolves steel without iron(III), giving off hydrogen: two
// hydrogen ions for each atom.
func TestCorrodeByAcid(t *testing.T) {
	r := demo.Recipe(t)
	r.PH = 5
	b := demo.Mix(t, r)
	st, err := b.State()
	require.NoError(t, err)
	require.NoError(t, b.Corrode(10*measure.Gram))
	after, err := b.State()
	require.NoError(t, err)
	require.Greater(t, after.PH, st.PH)
	redox, err := b.Redox()
	require.NoError(t, err)
	require.InDelta(t, 10/55.845, redox.FerrousMoles, 1e-9)
}

// Zinc from a galvanised part takes chelant mole for mole, and two hydrogen ions.
func TestStrip(t *testing.T) {
	b := demo.Mix(t, demo.Recipe(t))
	before, err := b.State()
	require.NoError(t, err)
	require.NoError(t, b.Strip("galvanised coat", 6.538*measure.Gram)) // 0.1 mol
	holdings, err := b.Holdings()
	require.NoError(t, err)
	require.InDelta(t, 0.1, holdings[0].OthersMoles, 0.001)
	after, err := b.State()
	require.NoError(t, err)
	require.Greater(t, after.PH, before.PH)
	require.ErrorIs(t, b.Strip("ferric-ferrous", 1*measure.Gram), chem.ErrInput)
	require.ErrorIs(t, b.Strip("zinc", -1*measure.Gram), chem.ErrInput)
	require.ErrorIs(t, b.Strip("zink", 1*measure.Gram), tables.ErrNotFound)
}
