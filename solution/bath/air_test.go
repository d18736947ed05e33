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
	require.InDelta(t, 0.5, r.InBath.SteelGrams/(r.FerricMoles*55.845), 1e-9)
	require.InDelta(t, 0.5, r.InBath.ChelantMoles/r.FerricMoles, 1e-9)
	require.Zero(t, r.SteelByAirGramsPerDay, "under a lid")

	before, err := b.Holdings()
	require.NoError(t, err)
	require.NoError(t, b.Corrode(unit.Mass(r.InBath.SteelGrams)*measure.Gram))
	after, err := b.Redox()
	require.NoError(t, err)
	require.InDelta(t, 0, after.FerricMoles, 1e-12)
	require.InDelta(t, 1.5*r.FerricMoles, after.FerrousMoles, 1e-9)
	holdings, err := b.Holdings()
	require.NoError(t, err)
	// EDTA holds it all, or nearly.
	require.InDelta(t, r.InBath.ChelantMoles, before[0].FreeMoles-holdings[0].FreeMoles, 0.05*r.InBath.ChelantMoles)

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

// What steel loses stays within the bookkeeping: under a lid half of the iron(III), in the
// open that and what air adds a day. A square metre in a fresh film loses 1 to 10 g/(m² h),
// the film limit of k c/2 with 20 mol/m³ of iron(III) and 0.5 to 2e-6 m/s; industrial
// cleaning accepts up to 8, HG/T 2387-92.
func TestAttackIsBounded(t *testing.T) {
	b := used(t, bath.Place{})
	r, err := b.Redox()
	require.NoError(t, err)
	hour, err := b.Attack(1e-4, 3600)
	require.NoError(t, err)
	c := r.FerricMoles / b.Litres() * 1000
	require.InEpsilon(t, 1e-6*c/2*55.845*3600, hour.Typical/1e-4, 1e-4)
	require.InEpsilon(t, 0.5, hour.Low/hour.Typical, 0.1)
	require.InEpsilon(t, 2, hour.High/hour.Typical, 0.1)
	long, err := b.Attack(10, 1000*3600)
	require.NoError(t, err)
	require.InEpsilon(t, r.InBath.SteelGrams, long.Low, 1e-6)
	require.InEpsilon(t, r.InBath.SteelGrams, long.High, 1e-6)
	_, err = b.Attack(-1, 1)
	require.ErrorIs(t, err, chem.ErrInput)
}

// The daily toll of the air is what the course takes of much steel over a day, once what
// was in the bath is gone: one flux stands behind both.
func TestDailyTollAgreesWithTheCourse(t *testing.T) {
	b := used(t, bath.Place{})
	_, err := b.Pass(bath.Parts{BareSteelCm2: 1e5}, 500*measure.Hour)
	require.NoError(t, err)
	for _, cover := range []bath.Cover{bath.Boarded, bath.Still} {
		require.NoError(t, b.Stand(bath.Place{Cover: cover}))
		r, err := b.Redox()
		require.NoError(t, err)
		h, err := b.Clone().Pass(bath.Parts{BareSteelCm2: 1e6}, 6*measure.Hour)
		require.NoError(t, err)
		require.InEpsilon(t, r.SteelByAirGramsPerDay.Typical, 4*h.SteelLostGrams.Typical, 0.05, cover)
		require.Less(t, r.SteelByAirGramsPerDay.Low, r.SteelByAirGramsPerDay.Typical)
		require.Less(t, r.SteelByAirGramsPerDay.Typical, r.SteelByAirGramsPerDay.High)
	}
}

// What each process did to the pH is what it does alone: in three minutes in which steel, air
// and gas pull at it, steel has moved it as so much iron dissolved by itself does.
func TestPHIsAttributedByCause(t *testing.T) {
	b := used(t, bath.Place{})
	_, err := b.Pass(bath.Parts{BareSteelCm2: 1e4}, measure.Hour)
	require.NoError(t, err)
	b, err = b.At(5)
	require.NoError(t, err)
	require.NoError(t, b.Stand(bath.Place{Cover: bath.Bubbled}))
	before, after := state(t, b).PH, b.Clone()
	h, err := after.Pass(bath.Parts{BareSteelCm2: 1e4}, measure.Hour/20)
	require.NoError(t, err)
	require.Negative(t, h.PHBySteel)
	require.Positive(t, h.PHByAir)
	require.NoError(t, b.Corrode(unit.Mass(h.SteelLostGrams.Typical/1000)))
	require.InEpsilon(t, state(t, b).PH-before, h.PHBySteel, 0.02)
	require.InDelta(t, h.PH.Typical-before, h.PHByGas+h.PHByRust+h.PHBySteel+h.PHByAir+h.PHByLight, 1e-9)
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
