package solution

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/laws"
	"example.com/chelation/tables"
)

// Substances are found by formula, in any spelling, and by name; what is unknown is
// refused and what is known and not there is none.
func TestOneLookUp(t *testing.T) {
	s := tub(t)
	st := equilibrate(t, s)
	for _, same := range [][]string{{"HCO3-", "bicarbonate", "HCO₃⁻"}, {"Ca2+", "calcium", "Ca^2+"}, {"edta4-", "edta^4-"}} {
		for _, name := range same[1:] {
			assert.Equal(t, concentration(t, st, same[0]), concentration(t, st, name), name)
		}
		assert.Positive(t, concentration(t, st, same[0]))
	}
	assert.Zero(t, concentration(t, st, "lead"))
	assert.Equal(t, math.Inf(1), minusLog(t, st, "Pb2+"))
	assert.Equal(t, distribution(t, st, "edta4-"), distribution(t, st, "EDTA"))
	assert.Empty(t, distribution(t, st, "Pb2+"), "known and not there")
	long := strings.Repeat("kryptonite ", 100)
	for _, name := range []string{"Fe(edat)-", "bicarbonat", "", long} {
		_, err := st.P(name)
		assert.ErrorIs(t, err, tables.ErrNotFound, "%.20q", name)
		_, err = st.Distribution(name)
		assert.ErrorIs(t, err, tables.ErrNotFound, "%.20q", name)
		_, err = s.Amount(name)
		assert.ErrorIs(t, err, tables.ErrNotFound, "%.20q", name)
		_, err = s.Dose(reagent(t, "citric acid"), PM(name, 4))
		assert.ErrorIs(t, err, tables.ErrNotFound, "%.20q", name)
		_, err = s.Uncertainty(PM(name, 4))
		assert.ErrorIs(t, err, tables.ErrNotFound, "%.20q", name)
		assert.ErrorIs(t, s.AddSpecies(name, 1), tables.ErrNotFound, "%.20q", name)
		assert.ErrorIs(t, s.SetConstant(name, 1, 0), tables.ErrNotFound, "%.20q", name)
	}
	_, err := st.Concentration("calcite")
	assert.ErrorIs(t, err, chem.ErrInput, "a solid has no concentration")
	assert.Less(t, len(s.AddSpecies(long, -1).Error()), 200, "cut when echoed")
}

// A solid that a caller's constant leaves out is not in the record, which is written
// as JSON all the same.
func TestSolidLeftOut(t *testing.T) {
	s := tub(t)
	require.NoError(t, s.AddSpecies("Fe3+", 0.6))
	require.NoError(t, s.SetConstant("ferrihydrite", math.Inf(-1), 0))
	st := equilibrate(t, s)
	_, err := json.Marshal(st)
	require.NoError(t, err)
	for _, p := range st.Solids {
		assert.NotEqual(t, "Fe(OH)3(s, ferrihydrite)", p.Species)
	}
	_, err = s.Dose(reagent(t, "citric acid"), PM("cit3-", 0))
	var far *UnreachableError
	require.ErrorAs(t, err, &far)
	_, err = json.Marshal(far)
	assert.NoError(t, err, "nothing of the component is no infinity")
}

// What a state holds can be changed without changing the vessel.
func TestStatesShareNothing(t *testing.T) {
	s := tub(t)
	require.NoError(t, s.AddSpecies("Fe3+", 0.1))
	a := equilibrate(t, s)
	want := *a.clone()
	for k := range a.Species {
		a.Species[k].Made[0] = Content{"x", 1}
		a.Species[k].Species = "x"
	}
	a.Solids[0].Made[0].N, a.Components[0].Species = 99, "x"
	assert.Equal(t, want, *equilibrate(t, s))
	assert.Equal(t, want, *equilibrate(t, s.Clone()))
}

// The record of a vessel is kept until something changes it: whatever does is seen.
func TestEveryChangeIsSeen(t *testing.T) {
	r, err := chem.ParseReaction("4 Fe2+ + O2(g) + 4 H+ = 4 Fe3+ + 2 H2O")
	require.NoError(t, err)
	acid := reagent(t, "citric acid")
	for name, change := range map[string]func(*Solution) error{
		"Add":            func(s *Solution) error { return s.Add(acid, 0.01) },
		"AddMoles":       func(s *Solution) error { return s.AddMoles(acid, 0.01) },
		"AddSpecies":     func(s *Solution) error { return s.AddSpecies("Zn2+", 0.01) },
		"AddPureWater":   func(s *Solution) error { return s.AddPureWater(litre) },
		"Evaporate":      func(s *Solution) error { return s.Evaporate(litre) },
		"Mix":            func(s *Solution) error { return s.Mix(tub(t)) },
		"Remove":         func(s *Solution) error { return s.Remove(0.5) },
		"React":          func(s *Solution) error { return s.React(r, 0.01) },
		"Open":           func(s *Solution) error { return s.Open(AirCO2) },
		"HoldPH":         func(s *Solution) error { return s.HoldPH(9) },
		"SetTemperature": func(s *Solution) error { return s.SetTemperature(320) },
		"SetConstant":    func(s *Solution) error { return s.SetConstant("Fe(edta)^2-", 10, 0.1) },
		"Bar":            func(s *Solution) error { return s.Bar("ferrihydrite") },
		"SetIdeal":       func(s *Solution) error { s.SetIdeal(true); return nil },
	} {
		s := tub(t)
		require.NoError(t, s.AddSpecies("Fe(OH)3(s, ferrihydrite)", 0.6))
		require.NoError(t, s.AddSpecies("Fe2+", 0.1))
		before := equilibrate(t, s)
		require.NoError(t, change(s), name)
		after := equilibrate(t, s)
		assert.NotEqual(t, before, after, name)
		s.state, s.answer, s.problem = nil, nil, nil
		assert.InDelta(t, equilibrate(t, s).PH, after.PH, 1e-9, name)
	}
}

// What other vessels have asked before changes no digit of an answer, although they
// share the solver's workspaces.
func TestAnswersDoNotDependOnOthers(t *testing.T) {
	acid, lye := reagent(t, "citric acid"), reagent(t, "lye")
	ask := func(iron unit.Mole, open bool) string {
		s := tub(t)
		require.NoError(t, s.AddSpecies("Fe(OH)3(s, ferrihydrite)", iron))
		require.NoError(t, s.AddSpecies("Ca2+", iron/2))
		if open {
			require.NoError(t, s.Open(AirCO2))
		}
		d, err := s.Dose(acid, PH(7))
		require.NoError(t, err)
		up, err := s.Dose(lye, PH(9.5+float64(iron)))
		if err != nil {
			require.ErrorIs(t, err, ErrUnreachable)
		}
		u, err := s.Uncertainty(PH(0))
		require.NoError(t, err)
		require.NoError(t, s.HoldPH(8))
		text, err := json.Marshal([]any{d, up, u, equilibrate(t, s)})
		require.NoError(t, err)
		return string(text)
	}
	want := map[unit.Mole][2]string{}
	questions := []unit.Mole{0, 0.01, 0.1, 0.5, 1.2}
	for _, iron := range questions {
		want[iron] = [2]string{ask(iron, false), ask(iron, true)}
	}
	slices.Reverse(questions)
	for _, iron := range questions {
		require.True(t, want[iron][1] == ask(iron, true), "open, %g mol of iron", float64(iron))
		require.True(t, want[iron][0] == ask(iron, false), "closed, %g mol of iron", float64(iron))
	}
}

// Zero values and zero arguments give an error or work; they do not panic.
func TestZeroValuesDoNotPanic(t *testing.T) {
	dry, err := New(standard(t), chem.Celsius(20))
	require.NoError(t, err)
	for _, x := range []any{&Solution{}, dry, &Pair{}, &State{}, (*State)(nil), &Dose{}, &Portion{}, &UnreachableError{}, Target{}, Warning{}, Uncertainty{}} {
		for name, call := range laws.Methods(x) {
			assert.NotPanics(t, func() { call() }, "%T.%s", x, name)
		}
	}
	_, err = New(nil, chem.Celsius(20))
	assert.ErrorIs(t, err, chem.ErrInput)
	_, err = NewPair(nil, "Ca2+", "edta4-", at01)
	assert.ErrorIs(t, err, chem.ErrInput)
	_, err = new(Solution).Equilibrate()
	assert.EqualError(t, err, "vessel is the zero value: want one made by solution.New")
}

// What no solver takes is told by the name of the component, not by its place in the solver.
func TestNoNumbersOfTheSolver(t *testing.T) {
	vessel, err := New(standard(t), chem.Celsius(20))
	require.NoError(t, err)
	require.NoError(t, vessel.AddPureWater(litre))
	odd := reagent(t, "tetrasodium EDTA tetrahydrate")
	odd.ExcessBase = tables.Range{Low: math.NaN(), Typical: math.NaN(), High: math.NaN()}
	_, err = vessel.Dose(odd, PH(8))
	var bad *chem.InputError
	require.ErrorAs(t, err, &bad)
	assert.Equal(t, "total of Na+", bad.Field)
}

// A vessel needs water: salts may go in before it, and a state there is once it is in.
func TestAVesselNeedsWater(t *testing.T) {
	s, err := New(standard(t), chem.Celsius(20))
	require.NoError(t, err)
	require.NoError(t, s.Add(reagent(t, "tetrasodium EDTA tetrahydrate"), 0.5))
	_, err = s.Equilibrate()
	assert.ErrorContains(t, err, "water in the vessel is 0.00501 L of 0.253 L")
	_, err = s.Dose(reagent(t, "citric acid"), PH(7))
	assert.ErrorIs(t, err, chem.ErrInput)
	require.NoError(t, s.AddPureWater(20*litre))
	assert.InDelta(t, 11, equilibrate(t, s).PH, 0.5)
	vinegar, err := New(standard(t), chem.Celsius(20))
	require.NoError(t, err)
	require.NoError(t, vinegar.Add(reagent(t, "vinegar"), 1))
	assert.InDelta(t, 2.4, equilibrate(t, vinegar).PH, 0.3, "vinegar brings its own water (common practice, no source)")
}
