package solution

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

const litre = unit.Volume(1e-3)

func standard(t testing.TB) *tables.Tables {
	tb, err := tables.Standard()
	require.NoError(t, err)
	return tb
}

func reagent(t testing.TB, name string) tables.Reagent {
	r, err := standard(t).Reagent(name)
	require.NoError(t, err)
	return r
}

// tub is 20 L of tap water with tetrasodium EDTA, the tool library's bath.
func tub(t testing.TB) *Solution {
	tb := standard(t)
	s, err := New(tb, chem.Celsius(20))
	require.NoError(t, err)
	tap, err := tb.Water("moderately hard tap water")
	require.NoError(t, err)
	require.NoError(t, s.AddWater(tap, 20*litre))
	require.NoError(t, s.Add(reagent(t, "tetrasodium EDTA tetrahydrate"), 0.5))
	return s
}

func equilibrate(t testing.TB, s *Solution) *State {
	st, err := s.Equilibrate()
	require.NoError(t, err)
	return st
}

func concentration(t testing.TB, st *State, species string) float64 {
	c, err := st.Concentration(species)
	require.NoError(t, err)
	return c
}

func minusLog(t testing.TB, st *State, species string) float64 {
	p, err := st.P(species)
	require.NoError(t, err)
	return p
}

func distribution(t testing.TB, st *State, component string) []Fraction {
	out, err := st.Distribution(component)
	require.NoError(t, err)
	return out
}

func TestStateObeysItsLaws(t *testing.T) {
	s := tub(t)
	require.NoError(t, s.AddSpecies("FeOOH(s, lepidocrocite)", 0.2))
	st := equilibrate(t, s)
	assert.LessOrEqual(t, st.Residual, 1e-12)
	charge, ionic := 0.0, 0.0
	mass := map[string]float64{}
	for _, d := range st.Species {
		z := float64(species(t, d.Species).Formula.Charge())
		charge += z * d.MolPerLitre
		ionic += z * z * d.MolPerLitre / 2
		for _, metal := range []string{"Fe", "Ca", "Mg"} {
			mass[metal] += species(t, d.Species).Formula.Count(metal) * d.MolPerLitre * st.VolumeLitres
		}
	}
	for _, p := range st.Solids {
		for _, metal := range []string{"Fe", "Ca", "Mg"} {
			mass[metal] += species(t, p.Species).Formula.Count(metal) * p.Moles
		}
		assert.GreaterOrEqual(t, p.Moles, 0.0)
		assert.LessOrEqual(t, p.LogSaturation, 1e-12)
	}
	assert.InDelta(t, 0, charge, 1e-11, "the solution is neutral")
	assert.InDelta(t, st.IonicStrengthMolPerLitre, ionic, 1e-12)
	assert.InDelta(t, 0.2, mass["Fe"], 1e-12)
	for _, metal := range []string{"Ca", "Mg"} {
		n, err := s.Amount(metal + "2+")
		require.NoError(t, err)
		assert.InDelta(t, float64(n), mass[metal], 1e-14)
	}
	assert.InDelta(t, chem.DebyeHuckel(st.IonicStrengthMolPerLitre, chem.Celsius(st.TemperatureC)), st.PH-st.PConcH, 1e-12)
	for _, c := range []string{"Fe3+", "edta4-", "Na+", "CO3^2-"} {
		sum := 0.0
		for _, f := range distribution(t, st, c) {
			sum += f.Value
		}
		assert.InDelta(t, 1, sum, 1e-12, "%s", c)
	}
}

func TestOrderOfAdditionDoesNotMatter(t *testing.T) {
	tb := standard(t)
	citric, soda, edta := reagent(t, "citric acid"), reagent(t, "baking soda"), reagent(t, "disodium EDTA")
	add := func(order ...tables.Reagent) *State {
		s, err := New(tb, chem.Celsius(25))
		require.NoError(t, err)
		require.NoError(t, s.AddPureWater(3*litre))
		for _, r := range order {
			require.NoError(t, s.Add(r, 0.03))
		}
		return equilibrate(t, s)
	}
	a, b := add(citric, soda, edta), add(edta, citric, soda)
	assert.InDelta(t, a.PH, b.PH, 1e-11)
	assert.InDelta(t, a.VolumeLitres, b.VolumeLitres, 1e-14)
	for _, d := range a.Species {
		assert.InEpsilon(t, d.MolPerLitre, concentration(t, b, d.Species), 1e-9, "%s", d.Species)
	}
}

func TestMixingConserves(t *testing.T) {
	a, b := tub(t), tub(t)
	require.NoError(t, b.Add(reagent(t, "citric acid"), 0.08))
	want := map[string]float64{}
	for _, c := range []string{"H+", "Na+", "edta4-", "cit3-", "Ca2+"} {
		x, err := a.Amount(c)
		require.NoError(t, err)
		y, err := b.Amount(c)
		require.NoError(t, err)
		want[c] = float64(x + y)
	}
	volume := float64(a.Volume() + b.Volume())
	require.NoError(t, a.Mix(b))
	for c, n := range want {
		x, err := a.Amount(c)
		require.NoError(t, err)
		assert.InDelta(t, n, float64(x), 1e-12, c)
	}
	assert.InDelta(t, volume, float64(a.Volume()), 1e-12)
	half := a.Clone()
	require.NoError(t, half.Remove(0.5))
	assert.InDelta(t, equilibrate(t, a).PH, equilibrate(t, half).PH, 1e-11, "half of a bath is the same bath")
}

// The state depends on strengths, not on the size of the vessel.
func TestScale(t *testing.T) {
	tb := standard(t)
	make := func(f float64) *State {
		s, err := New(tb, chem.Celsius(15))
		require.NoError(t, err)
		require.NoError(t, s.AddPureWater(unit.Volume(f)*litre))
		require.NoError(t, s.Add(reagent(t, "tetrasodium EDTA tetrahydrate"), unit.Mass(0.025*f)))
		require.NoError(t, s.AddSpecies("Fe(OH)3(s, ferrihydrite)", unit.Mole(0.001*f)))
		return equilibrate(t, s)
	}
	assert.InDelta(t, make(1).PH, make(2000).PH, 1e-10)
}

func TestDose(t *testing.T) {
	s := tub(t)
	citric := reagent(t, "citric acid")
	for _, ph := range []float64{11, 10, 9, 8.3, 8, 7.5, 7, 6, 5, 4, 3} {
		d, err := s.Dose(citric, PH(ph))
		require.NoError(t, err)
		assert.InDelta(t, ph, d.After.PH, 1e-9)
		assert.Positive(t, d.MassGrams)
	}
	d, err := s.Dose(reagent(t, "calcium chloride"), PM("Ca2+", 4))
	require.NoError(t, err)
	assert.InDelta(t, 4, minusLog(t, d.After, "Ca2+"), 1e-9, "any free component can be the target")
	d, err = s.Dose(citric, PH(equilibrate(t, s).PH))
	require.NoError(t, err)
	assert.InDelta(t, 0, d.MassGrams, 1e-9, "no dose where there is nothing to do")
}

func TestDoseOutOfReach(t *testing.T) {
	s := tub(t)
	for _, c := range []struct {
		reagent string
		ph      float64
	}{{"citric acid", 12}, {"citric acid", 0.5}, {"baking soda", 7}, {"baking soda", 12}} {
		_, err := s.Dose(reagent(t, c.reagent), PH(c.ph))
		var u *UnreachableError
		require.ErrorAs(t, err, &u, "%s to pH %g", c.reagent, c.ph)
		assert.ErrorIs(t, err, ErrUnreachable)
		assert.Equal(t, c.ph, u.Target.Value)
		assert.InDelta(t, equilibrate(t, s).PH, u.Start, 1e-9)
		assert.NotZero(t, u.Limit, "the error tells how far the reagent goes")
	}
	for _, bad := range []float64{math.NaN(), math.Inf(1), 50} {
		_, err := s.Dose(reagent(t, "citric acid"), PH(bad))
		assert.ErrorIs(t, err, chem.ErrInput)
	}
	_, err := s.Dose(reagent(t, "citric acid"), PM("Pb2+", 5))
	assert.ErrorIs(t, err, chem.ErrInput, "there is no lead in the tub")
}

// Water that stands in air takes up carbon dioxide: pH 5.6 (W. Stumm and J. J.
// Morgan, Aquatic Chemistry, 3rd ed. 1996, chapter 4: 5.65 at 10^-3.5 atm; from
// memory), and with calcite 8.3 (the same, 8.3 to 8.4).
func TestOpenToAir(t *testing.T) {
	tb := standard(t)
	s, err := New(tb, chem.Celsius(25))
	require.NoError(t, err)
	require.NoError(t, s.AddPureWater(litre))
	assert.InDelta(t, 7.0, equilibrate(t, s).PH, 0.005)
	require.NoError(t, s.Open(math.Pow(10, -3.5)))
	assert.InDelta(t, 5.65, equilibrate(t, s).PH, 0.02)
	require.NoError(t, s.Allow("calcite"))
	require.NoError(t, s.AddSpecies("CaCO3(s, calcite)", 0.01))
	st := equilibrate(t, s)
	assert.InDelta(t, 8.3, st.PH, 0.06)
	assert.Positive(t, st.Solids[0].Moles)
	s.Close()
	assert.Greater(t, equilibrate(t, s).PH, 9.5, "closed, calcite makes water alkaline")
}

func TestWaterKeepsItsLabel(t *testing.T) {
	tb := standard(t)
	for w := range tables.All[tables.Water](tb) {
		s, err := New(tb, chem.Celsius(25))
		require.NoError(t, err)
		require.NoError(t, s.AddWater(w, 7*litre), w.Name)
		assert.InDelta(t, w.PH, equilibrate(t, s).PH, 1e-8, w.Name)
	}
}

// Of a water whose pH is not given the alkalinity is taken as bicarbonate. Its
// protons balance as those of any bicarbonate, [H2CO3] + [H+] = [CO3^2-] + [OH-]
// (W. Stumm and J. J. Morgan, Aquatic Chemistry, chapter 4).
func TestWaterWithoutPH(t *testing.T) {
	s, err := New(standard(t), chem.Celsius(25))
	require.NoError(t, err)
	const alkalinity = 2e-3
	sodium := tables.Ion{Species: species(t, "Na+"), MolPerLitre: alkalinity}
	require.NoError(t, s.AddWater(tables.Water{Ions: []tables.Ion{sodium}, Alkalinity: alkalinity}, 3*litre))
	st := equilibrate(t, s)
	assert.InEpsilon(t, alkalinity, concentration(t, st, "HCO3-"), 0.03)
	assert.InEpsilon(t, concentration(t, st, "CO3^2-")+concentration(t, st, "OH-"), concentration(t, st, "H2CO3")+concentration(t, st, "H+"), 1e-9)
}

// What is not the reagent in a bag takes its place as the reagent does, whatever
// the assay; water takes its own.
func TestFillerTakesRoom(t *testing.T) {
	room := func(change func(*tables.Reagent)) float64 {
		s, err := New(standard(t), chem.Celsius(25))
		require.NoError(t, err)
		require.NoError(t, s.AddPureWater(litre))
		r := reagent(t, "sodium carbonate")
		change(&r)
		require.NoError(t, s.Add(r, 0.05))
		return equilibrate(t, s).VolumeLitres - 1
	}
	salt, err := chem.ParseSpecies("NaCl")
	require.NoError(t, err)
	filled := func(r *tables.Reagent) { r.Remainder, r.Assay.Typical = salt.Formula, 0.6 }
	damp := func(r *tables.Reagent) { r.Assay.Typical = 0.6 }
	apparent := reagent(t, "sodium carbonate").ApparentCm3PerGram
	assert.InDelta(t, 50*apparent/1000, room(filled), 1e-9)
	assert.InDelta(t, 0.6*50*apparent/1000+0.4*0.05/0.99705, room(damp), 1e-6) // density of water, CRC Handbook
}

func TestFailedCallsChangeNothing(t *testing.T) {
	s := tub(t)
	before := equilibrate(t, s)
	bad := []error{
		s.Add(reagent(t, "citric acid"), unit.Mass(math.NaN())),
		s.Add(reagent(t, "citric acid"), -1),
		s.AddPureWater(unit.Volume(math.Inf(1))),
		s.AddSpecies("Fe(edtb)-", 1),
		s.AddSpecies("Fe3+", -1),
		s.AddMoles(tables.Reagent{}, 1),
		s.Remove(1),
		s.Remove(math.NaN()),
		s.Evaporate(100 * litre),
		s.Open(0),
		s.Open(2),
		s.Allow("kryptonite"),
		s.Allow("goethite", "kryptonite"),
		s.SetTemperature(chem.Celsius(-5)),
		s.SetTemperature(unit.Temperature(math.NaN())),
	}
	for i, err := range bad {
		assert.Error(t, err, "call %d", i)
	}
	assert.Equal(t, before.PH, equilibrate(t, s).PH)
	_, err := New(standard(t), chem.Celsius(130))
	assert.ErrorIs(t, err, chem.ErrInput)
	empty, err := New(standard(t), chem.Celsius(20))
	require.NoError(t, err)
	_, err = empty.Equilibrate()
	assert.ErrorIs(t, err, chem.ErrInput)
}

func TestReact(t *testing.T) {
	r, err := chem.ParseReaction("4 Fe2+ + O2(g) + 4 H+ = 4 Fe3+ + 2 H2O")
	require.NoError(t, err)
	s := tub(t)
	require.NoError(t, s.AddSpecies("Fe(edta)^2-", 0.04))
	require.NoError(t, s.React(r, 0.01))
	ferrous, err := s.Amount("Fe2+")
	require.NoError(t, err)
	ferric, err := s.Amount("Fe3+")
	require.NoError(t, err)
	assert.Zero(t, float64(ferrous))
	assert.InDelta(t, 0.04, float64(ferric), 1e-15)
	before := equilibrate(t, s).PH
	assert.ErrorIs(t, s.React(r, 0.001), chem.ErrInput, "no iron(II) is left")
	assert.InDelta(t, before, equilibrate(t, s).PH, 1e-11)
	require.NoError(t, s.React(r, -0.005), "backwards")
	back, err := s.Amount("Fe2+")
	require.NoError(t, err)
	assert.InDelta(t, 0.02, float64(back), 1e-15)
	unbalanced, err := chem.ParseReaction("Fe2+ = Fe3+")
	require.NoError(t, err)
	assert.ErrorIs(t, s.React(unbalanced, 0.001), chem.ErrInput)
}

// Lye in a vessel open to the air turns into carbonate without end: pH 12 is out
// of reach, and the error says so.
func TestAirHoldsThePHDown(t *testing.T) {
	s := tub(t)
	require.NoError(t, s.Open(AirCO2))
	_, err := s.Dose(reagent(t, "lye"), PH(12))
	assert.ErrorIs(t, err, ErrUnreachable)
	d, err := s.Dose(reagent(t, "lye"), PH(9.5))
	require.NoError(t, err)
	assert.InDelta(t, 9.5, d.After.PH, 1e-9)
}

// A state and a dose survive a round trip through JSON, and a state does not
// change when its vessel goes on.
func TestStateIsARecord(t *testing.T) {
	s := tub(t)
	require.NoError(t, s.AddSpecies("Fe(OH)3(s, ferrihydrite)", 0.5))
	st := equilibrate(t, s)
	before := distribution(t, st, "Fe3+")
	data, err := json.Marshal(st)
	require.NoError(t, err)
	var again State
	require.NoError(t, json.Unmarshal(data, &again))
	if diff := cmp.Diff(*st, again, cmpopts.IgnoreUnexported(State{})); diff != "" {
		t.Error(diff)
	}
	assert.Equal(t, len(before), len(distribution(t, &again, "Fe3+")))
	require.NoError(t, s.Add(reagent(t, "citric acid"), 0.3))
	equilibrate(t, s)
	for i, f := range distribution(t, st, "Fe3+") {
		assert.Equal(t, before[i].Value, f.Value)
	}
	d, err := tub(t).Dose(reagent(t, "citric acid"), PH(7))
	require.NoError(t, err)
	data, err = json.Marshal(d)
	require.NoError(t, err)
	var dose Dose
	require.NoError(t, json.Unmarshal(data, &dose))
	assert.Equal(t, d.MassGrams, dose.MassGrams)
	assert.Equal(t, d.After.PH, dose.After.PH)
	require.NoError(t, s.HoldPH(8))
	_, err = json.Marshal(equilibrate(t, s))
	assert.NoError(t, err, "a held pH has no buffer capacity")
}
