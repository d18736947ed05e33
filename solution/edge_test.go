package solution

import (
	"errors"
	"math"
	"math/rand/v2"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

func species(t testing.TB, text string) chem.Species {
	f, err := standard(t).Formation(text)
	require.NoError(t, err)
	return f.Species
}

// A target may name its component in any way that the tables know.
func TestTargetByName(t *testing.T) {
	s, acid := tub(t), reagent(t, "citric acid, anhydrous")
	want, err := s.Dose(acid, PH(7))
	require.NoError(t, err)
	got, err := s.Dose(acid, Target{"hydrogen ion", 7})
	require.NoError(t, err)
	assert.InEpsilon(t, want.MassGrams, got.MassGrams, 1e-12)
	_, err = s.Dose(acid, PM("calcium", 30))
	var far *UnreachableError
	require.ErrorAs(t, err, &far)
	st := equilibrate(t, s)
	assert.InDelta(t, minusLog(t, st, "Ca2+"), far.Start, 1e-9)
	assert.Less(t, far.Limit, far.Start, "acid sets calcium free")
}

// Clones are for goroutines: what a dose does to its model reaches no other (run
// with the race detector).
func TestClonesShareNothing(t *testing.T) {
	s, acid := tub(t), reagent(t, "citric acid, anhydrous")
	before := equilibrate(t, s)
	var all sync.WaitGroup
	for range 4 {
		c := s.Clone()
		all.Go(func() {
			_, err := c.Dose(acid, PM("Ca2+", 8))
			assert.NoError(t, err)
			_, err = c.Equilibrate()
			assert.NoError(t, err)
		})
	}
	all.Wait()
	calcium, err := s.component("Ca2+")
	require.NoError(t, err)
	assert.NotZero(t, s.problem.Medium.CompZ2[s.problem.Place(calcium)])
	require.NoError(t, s.Clone().HoldPH(9))
	after := equilibrate(t, s)
	assert.InDelta(t, before.PH, after.PH, 1e-11)
}

// What the air or a buffer holds is counted as it is at equilibrium, not as it
// was put in: totals are those of the species.
func TestTotalsOfWhatIsHeld(t *testing.T) {
	s := tub(t)
	require.NoError(t, s.AddSpecies("Ca2+", 0.001))
	for _, hold := range []func(){func() {}, func() { require.NoError(t, s.Open(AirCO2)) }, func() { require.NoError(t, s.HoldPH(8)) }} {
		hold()
		st := equilibrate(t, s)
		for _, c := range st.Components {
			sum, size := 0.0, 0.0
			for _, d := range st.Species {
				sum += contentOf(d.Made, c.Species) * d.MolPerLitre
				size += math.Abs(contentOf(d.Made, c.Species)) * d.MolPerLitre
			}
			for _, p := range st.Solids {
				sum += contentOf(p.Made, c.Species) * p.Moles / st.VolumeLitres
			}
			assert.InDelta(t, sum, c.TotalMolPerLitre, 1e-11*size, "%s", c.Species)
			assert.Equal(t, concentration(t, st, c.Species), c.FreeMolPerLitre)
		}
	}
}

// Rain in balance with air of 425 ppm has pH 5.6 (common practice), fixed by half
// the sum of log K of Henry and of carbonic acid: both count in its uncertainty.
func TestUncertaintyOfTheAir(t *testing.T) {
	s, err := New(standard(t), chem.Celsius(25))
	require.NoError(t, err)
	require.NoError(t, s.AddPureWater(litre))
	require.NoError(t, s.Open(AirCO2))
	assert.InDelta(t, 5.6, equilibrate(t, s).PH, 0.02)
	u, err := s.Uncertainty(PH(0))
	require.NoError(t, err)
	slopes := map[string]float64{}
	for _, p := range u.Parts {
		slopes[p.Reaction] = p.Slope
	}
	assert.InDelta(t, -0.5, slopes["CO2(g) + H2O = H2CO3"], 0.002)
	assert.InDelta(t, 0.5, slopes["HCO3- + H+ = H2CO3"], 0.002)
	// Henry's constant of the caller's counts too: ten times the gas, half a pH down
	gas, err := standard(t).Formation("CO2(g)")
	require.NoError(t, err)
	before := equilibrate(t, s).PH
	require.NoError(t, s.SetConstant("CO2(g)", gas.Constant.Log10K(s.Temperature(), 0)-1, 0))
	assert.InDelta(t, before-0.5, equilibrate(t, s).PH, 0.002)
}

// Lye of 5 mol/L is far beyond the data of water's own constant: that is said,
// although no component is short of it.
func TestWarnsOfStrongLye(t *testing.T) {
	s, err := New(standard(t), chem.Celsius(25))
	require.NoError(t, err)
	require.NoError(t, s.AddPureWater(litre))
	require.NoError(t, s.Add(reagent(t, "lye"), 0.004))
	assert.Empty(t, equilibrate(t, s).Warnings)
	require.NoError(t, s.Add(reagent(t, "lye"), 0.2))
	warnings := equilibrate(t, s).Warnings
	require.NotEmpty(t, warnings)
	assert.Equal(t, "OH-", warnings[0].Species)
}

func TestRefusesWatersAndReagentsThatAreNone(t *testing.T) {
	s := tub(t)
	before := s.Clone()
	calcium := func(c float64) []tables.Ion { return []tables.Ion{{Species: species(t, "Ca2+"), MolPerLitre: c}} }
	for _, w := range []tables.Water{
		{Ions: calcium(math.NaN())}, {Ions: calcium(-0.001)}, {PH: math.NaN()}, {Alkalinity: tables.Alkalinity(math.NaN())},
		{PH: 7, Alkalinity: tables.Alkalinity(math.Inf(1))}, {Alkalinity: -0.001},
	} {
		assert.ErrorIs(t, s.AddWater(w, litre), chem.ErrInput, "%+v", w)
	}
	assert.ErrorIs(t, s.Add(tables.Reagent{}, 1), chem.ErrInput)
	assert.ErrorIs(t, s.AddMoles(tables.Reagent{}, 1), chem.ErrInput)
	assert.ErrorIs(t, s.AddVolume(tables.Reagent{}, litre), chem.ErrInput)
	assert.Equal(t, before.amounts, s.amounts)
	assert.Equal(t, before.volume, s.volume)
}

// A target that oversaturates a solid while the pH is held is out of reach.
func TestTargetBeyondASolid(t *testing.T) {
	s := tub(t)
	require.NoError(t, s.AddSpecies("Fe3+", 0.01))
	require.NoError(t, s.HoldPH(7))
	_, err := s.Dose(reagent(t, "citric acid, anhydrous"), PM("Fe3+", 3))
	assert.ErrorIs(t, err, ErrUnreachable)
}

// Lye into an acid bath of iron(III): on the way ferric hydroxide takes three
// hydroxides for each iron, and every pH is still found.
func TestDoseThroughASolid(t *testing.T) {
	tb := standard(t)
	s, err := New(tb, chem.Celsius(25))
	require.NoError(t, err)
	require.NoError(t, s.AddPureWater(litre))
	require.NoError(t, s.AddSpecies("Fe3+", 0.05))
	require.NoError(t, s.AddSpecies("Cl-", 0.15))
	last := 0.0
	for pH := 2.4; pH <= 12; pH += 0.4 {
		d, err := s.Dose(reagent(t, "lye"), PH(pH))
		require.NoError(t, err, "pH %g", pH)
		assert.InDelta(t, pH, d.After.PH, 1e-7)
		assert.Greater(t, d.MassGrams, last)
		last = d.MassGrams
	}
	pure, err := s.Dose(reagent(t, "lye"), PH(9))
	require.NoError(t, err)
	assert.InEpsilon(t, 0.15, pure.MassGrams*reagent(t, "lye").MolPerGram().Typical, 0.03, "3 NaOH for each iron")
}

// A component that a reaction has used up leaves no trace in the record, and the
// vessel needs no new model for one that comes back.
func TestComponentsComeAndGo(t *testing.T) {
	s := tub(t)
	require.NoError(t, s.AddSpecies("Fe2+", 0.02))
	before := equilibrate(t, s)
	r, err := chem.ParseReaction("4 Fe2+ + O2(g) + 4 H+ = 4 Fe3+ + 2 H2O")
	require.NoError(t, err)
	require.NoError(t, s.React(r, 0.005))
	for _, c := range equilibrate(t, s).Components {
		assert.NotEqual(t, "Fe2+", c.Species)
	}
	require.NoError(t, s.React(r, -0.005))
	after := equilibrate(t, s)
	assert.InDelta(t, before.PH, after.PH, 1e-11)
	assert.Len(t, after.Components, len(before.Components))
}

// A trace of zinc in a strong bath: the dose that brings it to a pZn is as exact
// as for the rest.
func TestDoseForATrace(t *testing.T) {
	s, edta := tub(t), reagent(t, "tetrasodium EDTA tetrahydrate")
	require.NoError(t, s.AddSpecies("Zn2+", 1e-9))
	target := minusLog(t, equilibrate(t, s), "Zn2+") + 0.2
	d, err := s.Dose(edta, PM("Zn2+", target))
	require.NoError(t, err)
	assert.InDelta(t, target, minusLog(t, d.After, "Zn2+"), 1e-9)
}

// Baths of anything from the shelf, closed and open, with solids that come and go:
// a dose brings the pH asked for, or that pH lies on neither side of how far the
// reagent goes.
func TestRandomDoses(t *testing.T) {
	const seed = 20261126
	random := rand.New(rand.NewPCG(seed, 0))
	shelf := []string{"citric acid, anhydrous", "lye", "tetrasodium EDTA tetrahydrate", "washing soda", "muriatic acid", "baking soda",
		"disodium EDTA", "vinegar", "phosphoric acid", "sulfamic acid"}
	pick := func() tables.Reagent { return reagent(t, shelf[random.IntN(len(shelf))]) }
	tap, err := standard(t).Water("moderately hard tap water")
	require.NoError(t, err)
	found := 0
	for n := range 100 {
		s, err := New(standard(t), chem.Celsius(5+50*random.Float64()))
		require.NoError(t, err)
		require.NoError(t, s.AddWater(tap, 20*litre))
		for range 3 {
			require.NoError(t, s.Add(pick(), unit.Mass(random.Float64())))
		}
		for _, metal := range []string{"FeOOH(s, lepidocrocite)", "Zn(OH)2(s, amorphous)"} {
			if random.IntN(2) == 0 {
				require.NoError(t, s.AddSpecies(metal, 0.3))
			}
		}
		if random.IntN(3) == 0 {
			require.NoError(t, s.Open(AirCO2))
		}
		target := max(-2, equilibrate(t, s).PH+6*(random.Float64()-0.5))
		d, err := s.Dose(pick(), PH(target))
		if far := new(UnreachableError); errors.As(err, &far) {
			assert.Equal(t, far.Start < target, far.Limit < target, "vessel %d of seed %d: %v", n, seed, err)
			continue
		}
		require.NoError(t, err, "vessel %d of seed %d", n, seed)
		assert.InDelta(t, target, d.After.PH, 1e-7, "vessel %d of seed %d", n, seed)
		found++
	}
	assert.Greater(t, found, 20)
}
