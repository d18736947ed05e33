package solution

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// A ligand of one proton by hand: K′ = K/(1 + 10^(pKa - pH)), so that K′ is L from pH
// pKa - log10(K/L - 1) on; without a proton it is K from end to end.
func TestWindowByHand(t *testing.T) {
	for _, x := range []struct{ logK, pKa, want float64 }{{10, 6, 8}, {12, 9, 8}, {8.5, 3, 8}, {20, 13, 19}} {
		p, err := PairOf(x.logK, x.pKa)
		require.NoError(t, err)
		low, high, err := p.Window(x.want)
		require.NoError(t, err)
		assert.InDelta(t, x.pKa-math.Log10(math.Pow(10, x.logK-x.want)-1), low, 1e-9)
		assert.Equal(t, 14.0, high)
	}
	bare, err := PairOf(10)
	require.NoError(t, err)
	low, high, err := bare.Window(10)
	require.NoError(t, err)
	assert.Equal(t, []float64{0, 14}, []float64{low, high})
	_, _, err = bare.Window(10.001)
	assert.ErrorIs(t, err, ErrUnreachable)
	assert.True(t, math.IsInf(new(Pair).LogAlphaMetal(7), -1), "the sum of nothing is none")
}

// Half a litre of vinegar is poured, soda is levelled: the volume by hand from the density of the
// tables, a level spoon for the powder alone.
func TestPortionsOfAPowderAndALiquid(t *testing.T) {
	vinegar := NewPortion(reagent(t, "vinegar"), 0.503)
	assert.True(t, strings.HasPrefix(vinegar.Spoons, "500 mL, "), vinegar.Spoons) // 1.006 g/mL
	assert.NotContains(t, vinegar.Spoons, "level")
	soda := NewPortion(reagent(t, "washing soda"), 0.1)
	assert.Contains(t, soda.Spoons, "level")
	assert.NotContains(t, soda.Spoons, "mL")
}

// A dose is told as a mass, of any reagent and of any target, also where the reagent
// brings nothing of what is aimed at.
func TestDosesAreMasses(t *testing.T) {
	assert.Zero(t, new(Solution).Temperature(), "and a vessel that is none has none of a warmth")
	s := tub(t)
	require.NoError(t, s.AddSpecies("FeOOH(s, lepidocrocite)", 0.05))
	for _, x := range []struct {
		reagent string
		target  Target
	}{{"citric acid", PH(7)}, {"table salt", PM("Na+", 0.5)}, {"disodium EDTA", PM("Fe3+", 17)}} {
		start := minusLog(t, equilibrate(t, s), "Fe3+")
		if x.target.Component == "Fe3+" {
			x.target.Value = start - 0.3
		}
		d, err := s.Dose(reagent(t, x.reagent), x.target)
		require.NoError(t, err, x.reagent)
		assert.InDelta(t, d.MassGrams/1000, float64(d.Mass()), 1e-15)
		v := s.Clone()
		require.NoError(t, v.Add(reagent(t, x.reagent), d.Mass()))
		st := equilibrate(t, v)
		got := st.PH
		if x.target.Name() != "pH" {
			got = minusLog(t, st, x.target.Component)
		}
		assert.InDelta(t, x.target.Value, got, 1e-6, x.reagent)
	}
}

// What a state read back lists as a solid it finds by formula and by name, and says that
// it is none that is dissolved.
func TestSolidsOfAStateReadBack(t *testing.T) {
	s := tub(t)
	require.NoError(t, s.AddSpecies("Fe(OH)3(s, ferrihydrite)", 1.5))
	text, err := json.Marshal(equilibrate(t, s))
	require.NoError(t, err)
	var st State
	require.NoError(t, json.Unmarshal(text, &st))
	require.NotEmpty(t, st.Solids)
	for _, p := range st.Solids {
		for _, name := range []string{p.Species, p.Name, strings.ToUpper(p.Name)} {
			_, err := st.Concentration(name)
			require.ErrorContains(t, err, "one that is dissolved", name)
			require.NotErrorIs(t, err, tables.ErrNotFound)
		}
	}
	_, err = st.Concentration("Fe(OH)4(s, greenish)")
	require.ErrorIs(t, err, tables.ErrNotFound)
}

// A volume of a liquid counts by its density, of a powder by its bulk density, and moles by
// the pure formula: a litre of vinegar of 1.006 kg/L and 5 % holds 0.838 mol of acetic acid
// of 60.052 g/mol (IUPAC 2021), and a mole of table salt a mole of sodium.
func TestAmountsByVolumeAndMole(t *testing.T) {
	made := func(add func(s *Solution) error) *Solution {
		s, err := New(standard(t), chem.Celsius(20))
		require.NoError(t, err)
		require.NoError(t, s.AddPureWater(10*litre))
		require.NoError(t, add(s))
		return s
	}
	acid := made(func(s *Solution) error { return s.AddVolume(reagent(t, "vinegar"), litre) })
	n, err := acid.Amount("acetate")
	require.NoError(t, err)
	assert.InEpsilon(t, 1006*0.05/60.052, float64(n), 0.002)
	soda := reagent(t, "washing soda")
	by, of := made(func(s *Solution) error { return s.AddVolume(soda, litre) }), made(func(s *Solution) error { return s.Add(soda, unit.Mass(soda.Bulk.Typical/1000)) })
	assert.InDelta(t, equilibrate(t, of).PH, equilibrate(t, by).PH, 1e-9, "kg/m3 are g/L")
	salt := made(func(s *Solution) error { return s.AddMoles(reagent(t, "table salt"), 1) })
	n, err = salt.Amount("Na+")
	require.NoError(t, err)
	assert.InDelta(t, 1, float64(n), 1e-9)
}

// Whichever solid is left out, all others are still told.
func TestEachSolidLeftOut(t *testing.T) {
	s := tub(t)
	require.NoError(t, s.AddSpecies("Fe(OH)3(s, ferrihydrite)", 0.01))
	all := equilibrate(t, s).Solids
	require.Greater(t, len(all), 2)
	for _, gone := range all {
		v := s.Clone()
		require.NoError(t, v.SetConstant(gone.Species, math.Inf(-1), 0))
		left := equilibrate(t, v).Solids
		require.Len(t, left, len(all)-1, gone.Name)
		for _, p := range left {
			assert.NotEqual(t, gone.Species, p.Species)
		}
	}
}

// A water more sour than carbonic acid makes it is refused with the pH of as much of that as
// a litre is given at most: 400 g of 62.024 g/mol.
func TestTheSourestWater(t *testing.T) {
	s, err := New(standard(t), chem.Celsius(25))
	require.NoError(t, err)
	err = s.AddWater(tables.Water{PH: 2}, litre)
	var far *UnreachableError
	require.ErrorAs(t, err, &far)
	require.NoError(t, s.AddPureWater(litre))
	assert.InDelta(t, equilibrate(t, s).PH, far.Start, 1e-9)
	require.NoError(t, s.AddSpecies("H2CO3", 400/62.024))
	assert.InDelta(t, equilibrate(t, s).PH, far.Limit, 1e-6)
}

// A message quotes sixty letters of what was asked for, and tells where it leaves some out.
func TestLongNamesAreCut(t *testing.T) {
	st := equilibrate(t, tub(t))
	st.tables = nil
	for n := 58; n < 64; n++ {
		name := "x" + strings.Repeat("y", n-1)
		_, err := st.Concentration(name)
		require.ErrorIs(t, err, tables.ErrNotFound)
		assert.Equal(t, n <= 60, strings.Contains(err.Error(), name+`"`), err)
		assert.Equal(t, n > 60, strings.Contains(err.Error(), "…"), err)
	}
}

// A component that is used up is no longer told of, and what is left of it in its forms adds up
// to one, the largest first, settled or not.
func TestWhatIsUsedUpAndWhereTheRestIs(t *testing.T) {
	s := tub(t)
	require.NoError(t, s.AddSpecies("Fe(edta)^2-", 0.04))
	require.NoError(t, s.AddSpecies("Fe(OH)3(s, ferrihydrite)", 1.5))
	assert.True(t, lists(equilibrate(t, s), "Fe2+"))
	r, err := chem.ParseReaction("4 Fe2+ + O2(g) + 4 H+ = 4 Fe3+ + 2 H2O")
	require.NoError(t, err)
	require.NoError(t, s.React(r, 0.01))
	st := equilibrate(t, s)
	assert.False(t, lists(st, "Fe2+"))
	require.True(t, lists(st, "Fe3+"))
	for _, c := range st.Components {
		sum, last := 0.0, math.Inf(1)
		for _, x := range distribution(t, st, c.Species) {
			assert.LessOrEqual(t, x.Value, last, c.Species)
			sum, last = sum+x.Value, x.Value
		}
		assert.InDelta(t, 1, sum, 1e-12, c.Species)
	}
	first := distribution(t, st, "Fe3+")[0]
	assert.Contains(t, first.Species, "(s", "most of it has settled")
}

func lists(st *State, component string) bool {
	for _, c := range st.Components {
		if c.Species == component {
			return true
		}
	}
	return false
}
