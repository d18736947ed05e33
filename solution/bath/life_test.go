package bath_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
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

// The acid that holds the pH goes in step with the rust, and whatever is held
// ends where the chelant does.
func TestUpkeep(t *testing.T) {
	citric := demo.Reagent(t, "citric acid")
	for _, pH := range []float64{5, 6, 7, 8} {
		r := demo.Recipe(t)
		r.PH = pH
		b := demo.Mix(t, r)
		u, err := b.Upkeep(citric, demo.Oxide(t, "lepidocrocite"), pH, 0.5)
		require.NoError(t, err)
		require.NotEmpty(t, u.Doses)
		rust, acid := 0.0, 0.0
		for i, d := range u.Doses {
			require.InDelta(t, pH, d.PHTo, 1e-6)
			require.Less(t, d.PHFrom, pH+0.5+1e-6)
			require.Positive(t, d.RustGrams)
			require.Positive(t, d.AcidGrams)
			if i > 0 {
				require.Less(t, d.RoomIronGrams, u.Doses[i-1].RoomIronGrams)
			}
			rust, acid = rust+d.RustGrams, acid+d.AcidGrams
		}
		require.InDelta(t, acid/rust, u.AcidPerRustGram, 1e-9)
		// The protons by hand: FeO(OH) takes up three, of which the chelant itself
		// brings none to two and hydrolysis gives one back; citric acid brings
		// one to three. That makes 0.2 to 1 mol of acid for one of rust, at
		// 192.12 and 88.85 g/mol.
		moles := u.AcidPerRustGram * 88.85 / 192.12
		require.InDelta(t, 0.6, moles, 0.4, "pH %g", pH)
		c, err := b.Capacities(demo.Oxide(t, "lepidocrocite"), pH)
		require.NoError(t, err)
		require.Greater(t, u.RustGrams, 0.9*c.Practical.RustGrams, "pH %g", pH)
		text, err := u.Parts(citric, 2*measure.Gram)
		require.NoError(t, err)
		require.Contains(t, text, "of rust each")
	}
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

// The volume of a bath grows with that of its water as it warms.
func TestTemperature(t *testing.T) {
	b := demo.Mix(t, demo.Recipe(t))
	litres := b.Litres()
	require.NoError(t, b.SetTemperature(chem.Celsius(40)))
	require.InDelta(t, litres*chem.WaterDensity(chem.Celsius(20))/chem.WaterDensity(chem.Celsius(40)), b.Litres(), 1e-9)
	require.ErrorIs(t, b.SetTemperature(20), chem.ErrInput)
}
