package bath_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/tables"
)

// 2 Fe(III) + Fe = 3 Fe(II): half a gram of steel for a gram of iron(III), half
// a mole of EDTA more for each mole (stoichiometry; named unavoidable at NACE
// Corrosion/79).
func TestSteelByIronIII(t *testing.T) {
	b := mix(t, recipe(t))
	require.NoError(t, b.Dissolve(oxide(t, "lepidocrocite"), 30))
	r, err := b.Redox()
	require.NoError(t, err)
	require.InDelta(t, 0.5, r.Covered.Steel/(r.Ferric*55.845), 1e-9)
	require.InDelta(t, 0.5, r.Covered.Chelant/r.Ferric, 1e-9)
	require.Greater(t, r.Aired.Steel, r.Covered.Steel)

	before, err := b.Holdings()
	require.NoError(t, err)
	require.NoError(t, b.Corrode(r.Covered.Steel))
	after, err := b.Redox()
	require.NoError(t, err)
	require.InDelta(t, 0, after.Ferric, 1e-12)
	require.InDelta(t, 1.5*r.Ferric, after.Ferrous, 1e-9)
	holdings, err := b.Holdings()
	require.NoError(t, err)
	// EDTA holds it all, or nearly.
	require.InDelta(t, r.Covered.Chelant, before[0].Free-holdings[0].Free, 0.05*r.Covered.Chelant)

	// Air turns it back, one hydrogen ion for each: the pH climbs.
	st, err := b.State()
	require.NoError(t, err)
	require.NoError(t, b.Air())
	aired, err := b.State()
	require.NoError(t, err)
	require.Greater(t, aired.PH, st.PH)
	after, err = b.Redox()
	require.NoError(t, err)
	require.InDelta(t, 0, after.Ferrous, 1e-12)
	require.InDelta(t, 1.5*r.Ferric, after.Ferric, 1e-9)
}

// The assumed attack stays within the bookkeeping. 1 g/(m² h) is 1.114 mm a
// year at 7.87 g/cm³ (arithmetic); industrial cleaning accepts up to 8 g/(m² h),
// HG/T 2387-92, so that the assumption must lie below that.
func TestAttackIsBounded(t *testing.T) {
	b := mix(t, recipe(t))
	require.NoError(t, b.Dissolve(oxide(t, "lepidocrocite"), 30))
	r, err := b.Redox()
	require.NoError(t, err)
	day, err := r.Attack(1, 24*3600, false)
	require.NoError(t, err)
	require.Less(t, day.High, 24*8.0)
	long, err := r.Attack(10, 1000*3600, false)
	require.NoError(t, err)
	require.Equal(t, r.Covered.Steel, long.Low)
	require.Equal(t, r.Covered.Steel, long.High)
	_, err = r.Attack(-1, 1, true)
	require.ErrorIs(t, err, chem.ErrInput)
}

// Acid alone dissolves steel without iron(III), giving off hydrogen: two
// hydrogen ions for each atom.
func TestCorrodeByAcid(t *testing.T) {
	r := recipe(t)
	r.PH = 5
	b := mix(t, r)
	st, err := b.State()
	require.NoError(t, err)
	require.NoError(t, b.Corrode(10))
	after, err := b.State()
	require.NoError(t, err)
	require.Greater(t, after.PH, st.PH)
	redox, err := b.Redox()
	require.NoError(t, err)
	require.InDelta(t, 10/55.845, redox.Ferrous, 1e-9)
}

func verdicts(t *testing.T, b *bath.Bath) map[string]bath.MetalVerdict {
	t.Helper()
	all, err := bath.Metals(b)
	require.NoError(t, err)
	out := map[string]bath.MetalVerdict{}
	for i, m := range all {
		out[m.Metal] = m
		if i > 0 {
			require.LessOrEqual(t, all[i-1].Potential, m.Potential)
		}
		require.False(t, math.IsNaN(m.Potential) || math.IsInf(m.Potential, 0), m.Metal)
	}
	return out
}

// Zinc, cadmium and aluminium go by themselves in a neutral bath. Copper does
// not, yet iron(III) of the chelate takes it: that is how the copper stage of
// boiler cleaning works (corrosion handbook; oxidant and pH 9.5).
func TestWhichMetalsDissolve(t *testing.T) {
	b := mix(t, recipe(t))
	require.NoError(t, b.Dissolve(oxide(t, "lepidocrocite"), 30))
	m := verdicts(t, b)
	for _, metal := range []string{"zinc", "cadmium", "aluminium", "lead"} {
		require.True(t, m[metal].Dissolves, metal)
	}
	require.True(t, m["zinc"].Hydrogen)
	require.Greater(t, m["zinc"].Held, 0.999)
	require.InDelta(t, 65.38, m["zinc"].GramsPerMole, 1e-9)
	require.False(t, m["copper"].Hydrogen)
	require.Positive(t, m["copper"].Iron)
	require.False(t, m["silver"].Hydrogen)
	// It is the chelant that does it: neutral water without air leaves lead and
	// copper whole (their standard potentials, a trace of 1e-6 mol/L, pH 7).
	v, err := solution.New(standard(t), chem.Celsius(25))
	require.NoError(t, err)
	require.NoError(t, v.AddPureWater(1e-3))
	require.NoError(t, v.Add(reagent(t, "table salt"), 1e-3))
	plain, err := bath.New(standard(t), v)
	require.NoError(t, err)
	plain, err = plain.At(7)
	require.NoError(t, err)
	w := verdicts(t, plain)
	require.False(t, w["lead"].Hydrogen)
	require.False(t, w["copper"].Hydrogen)
	require.True(t, w["zinc"].Hydrogen)
	require.InDelta(t, -0.7618-0.02958*6, w["zinc"].Potential, 0.01) // Nernst by hand
}

// The potential of Fe(III)/Fe(II) in EDTA is about +0.12 V (from memory); from
// E° and the constants of both chelates at I = 0.1 it is
// 0.771 − 0.0592 (25.1 − 14.3) = 0.13 V.
func TestPotentialOfIronChelates(t *testing.T) {
	std := standard(t)
	c, err := std.Couple("ferric-ferrous")
	require.NoError(t, err)
	k := func(species string) float64 {
		f, err := std.Formation(species)
		require.NoError(t, err)
		return f.Constant.Log10K(chem.Celsius(25), 0.1)
	}
	gamma := chem.DebyeHuckel(0.1, chem.Celsius(25)) // activities of Fe³⁺ and Fe²⁺
	e := c.Potential - 0.05916*(k("Fe(edta)-")-k("Fe(edta)^2-")+(9-4)*gamma)
	require.InDelta(t, 0.12, e, 0.05)
	// E° again from the Gibbs energies of formation of Parker & Khodakovskii
	// (J. Phys. Chem. Ref. Data 24 (1995) 1699), −16.28 and −90.53 kJ/mol, and of
	// iron itself, whose older and newer values lie 0.03 V apart.
	require.InDelta(t, (90.53-16.28)/96.485, c.Potential, 0.015)
	metal, err := std.Couple("iron")
	require.NoError(t, err)
	require.InDelta(t, -90.53/(2*96.485), metal.Potential, metal.Uncertainty)
}

// Each of the three reasons gets its own remedy.
func TestDiagnoses(t *testing.T) {
	citric := reagent(t, "citric acid")
	lepidocrocite, goethite := oxide(t, "lepidocrocite"), oxide(t, "goethite")
	fresh := mix(t, recipe(t))
	d, err := fresh.Diagnose(citric, lepidocrocite, 7)
	require.NoError(t, err)
	require.Equal(t, bath.Working, d.Cause)
	require.Nil(t, d.Acid)

	drifted := fresh.Clone()
	require.NoError(t, drifted.Dissolve(lepidocrocite, 45))
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
	require.Greater(t, better.Now.Moles, 2*d.Now.Moles)

	spent := fresh.Clone()
	require.NoError(t, spent.Dissolve(lepidocrocite, 90))
	spent, err = spent.At(7) // kept there by acid
	require.NoError(t, err)
	d, err = spent.Diagnose(citric, lepidocrocite, 7)
	require.NoError(t, err)
	require.Equal(t, bath.Spent, d.Cause)
	require.Nil(t, d.Acid)

	alkaline := recipe(t)
	alkaline.PH = 11
	d, err = mix(t, alkaline).Diagnose(citric, goethite, 11)
	require.NoError(t, err)
	require.Equal(t, bath.Barred, d.Cause)
	require.Contains(t, d.Text, "or below")
	// What it says works: with that acid in, half the chelant can be filled.
	require.NotNil(t, d.Acid)
	cured := mix(t, alkaline)
	require.NoError(t, cured.Add(citric, d.Acid.Mass()))
	st, err := cured.State()
	require.NoError(t, err)
	require.InDelta(t, d.Target, st.PH, 1e-6)
	l, err := cured.Limit(goethite, st.PH)
	require.NoError(t, err)
	require.Greater(t, l.Share, 0.5)

	none := recipe(t)
	none.Chelant, none.Acid, none.PH = reagent(t, "sodium gluconate"), reagent(t, "muriatic acid"), 6
	d, err = mix(t, none).Diagnose(citric, goethite, 7)
	require.NoError(t, err) // a weak chelant alone still gets an answer
	require.NotEmpty(t, d.Text)
}

// Acid brings the acid form down and leaves most iron dissolved; lye brings
// hydroxide down and leaves the chelant; neither leaves clean water. H4edta is
// least soluble near pH 1.7 (Welcher 1958, from memory) and dissolves to some
// 0.5 g/L in water.
func TestRecoveries(t *testing.T) {
	b := mix(t, recipe(t))
	require.NoError(t, b.Dissolve(oxide(t, "lepidocrocite"), 30))
	r, err := bath.Recoveries(b, reagent(t, "muriatic acid"), reagent(t, "lye"))
	require.NoError(t, err)
	require.Len(t, r, 3)
	sour, alkaline, air := r[0], r[1], r[2]
	holdings, err := b.Holdings()
	require.NoError(t, err)
	iron := 30 * oxide(t, "lepidocrocite").IronFraction()

	require.InDelta(t, 1.8, sour.PH, 1e-6)
	require.InDelta(t, holdings[0].Free/holdings[0].Total, sour.AcidShare, 0.1)
	require.InDelta(t, sour.AcidShare*holdings[0].Total*292.24, sour.Acid, 0.1)
	require.Zero(t, sour.Hydroxide)
	require.Equal(t, "Fe", sour.Metals[0].Name)
	require.Greater(t, sour.Metals[0].Value*b.Litres()/1000, 0.9*iron)

	require.Greater(t, alkaline.Hydroxide, 0.9*iron)
	require.Greater(t, alkaline.Chelant, 10000.0)
	require.Zero(t, alkaline.Acid)
	require.InDelta(t, iron, air.Metals[0].Value*b.Litres()/1000, 0.01*iron)
	for _, x := range r {
		require.Contains(t, x.Text, "Not fit for a drain", x.Name)
	}
}

// The acid that holds the pH goes in step with the rust, and whatever is held
// ends where the chelant does.
func TestUpkeep(t *testing.T) {
	citric := reagent(t, "citric acid")
	for _, pH := range []float64{5, 6, 7, 8} {
		r := recipe(t)
		r.PH = pH
		b := mix(t, r)
		u, err := b.Upkeep(citric, oxide(t, "lepidocrocite"), pH, 0.5)
		require.NoError(t, err)
		require.NotEmpty(t, u.Doses)
		rust, acid := 0.0, 0.0
		for i, d := range u.Doses {
			require.InDelta(t, pH, d.To, 1e-6)
			require.Less(t, d.From, pH+0.5+1e-6)
			require.Positive(t, d.Rust)
			require.Positive(t, d.Acid)
			if i > 0 {
				require.Less(t, d.Room, u.Doses[i-1].Room)
			}
			rust, acid = rust+d.Rust, acid+d.Acid
		}
		require.InDelta(t, acid/rust, u.PerGram, 1e-9)
		// The protons by hand: FeO(OH) takes up three, of which the chelant itself
		// brings none to two and hydrolysis gives one back; citric acid brings
		// one to three. That makes 0.2 to 1 mol of acid for one of rust, at
		// 192.12 and 88.85 g/mol.
		moles := u.PerGram * 88.85 / 192.12
		require.InDelta(t, 0.6, moles, 0.4, "pH %g", pH)
		c, err := b.Capacities(oxide(t, "lepidocrocite"), pH)
		require.NoError(t, err)
		require.Greater(t, u.Rust, 0.9*c.Practical.Rust, "pH %g", pH)
		text, err := u.Parts(2)
		require.NoError(t, err)
		require.Contains(t, text, "of rust each")
	}
}

// A lower start takes more rust unattended, wants more acid, and puts more
// steel at risk.
func TestStarts(t *testing.T) {
	r := recipe(t)
	starts, err := r.Starts(standard(t), oxide(t, "lepidocrocite"), 9, 8, 7, 6, 5)
	require.NoError(t, err)
	for i, s := range starts[1:] {
		require.Greater(t, s.Acid, starts[i].Acid)
		require.Greater(t, s.Proton.Moles, starts[i].Proton.Moles)
		require.GreaterOrEqual(t, s.Steel, starts[i].Steel)
	}
	require.Zero(t, starts[2].Steel)
	require.Positive(t, starts[3].Steel)
	_, err = r.Starts(standard(t), oxide(t, "lepidocrocite"), 1)
	require.ErrorIs(t, err, chem.ErrInput)
}

// Zinc from a galvanised part takes chelant mole for mole, and two hydrogen ions.
func TestStrip(t *testing.T) {
	b := mix(t, recipe(t))
	before, err := b.State()
	require.NoError(t, err)
	require.NoError(t, b.Strip("galvanised coat", 6.538)) // 0.1 mol
	holdings, err := b.Holdings()
	require.NoError(t, err)
	require.InDelta(t, 0.1, holdings[0].Others, 0.001)
	after, err := b.State()
	require.NoError(t, err)
	require.Greater(t, after.PH, before.PH)
	require.ErrorIs(t, b.Strip("ferric-ferrous", 1), chem.ErrInput)
	require.ErrorIs(t, b.Strip("zinc", -1), chem.ErrInput)
	require.ErrorIs(t, b.Strip("zink", 1), tables.ErrNotFound)
}

// The volume of a bath grows with that of its water as it warms.
func TestTemperature(t *testing.T) {
	b := mix(t, recipe(t))
	litres := b.Litres()
	require.NoError(t, b.SetTemperature(chem.Celsius(40)))
	require.InDelta(t, litres*chem.WaterDensity(chem.Celsius(20))/chem.WaterDensity(chem.Celsius(40)), b.Litres(), 1e-9)
	require.ErrorIs(t, b.SetTemperature(20), chem.ErrInput)
}
