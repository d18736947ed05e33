package titration_test

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution/titration"
	"example.com/chelation/tables"
)

// A metal takes the place of protons and is none of an acid's sites: of 50 mL with 0.01 mol/L
// Na2H2edta, 0.5 mmol, each 5 mL of 0.1 mol/L lye take one of the two protons that give way below pH 12,
// with calcium or iron in the vessel as without.
func TestMetalsAreNoSites(t *testing.T) {
	for _, metal := range []string{"", "Ca2+", "Fe3+", "Fe2+"} {
		amounts := map[string]float64{"Na+": 0.02, "H2edta2-": 0.01, "Cl-": 0.015}
		if metal != "" {
			amounts[metal] = 0.005
		}
		run, err := titration.New(mix(t, 50, amounts), strongBase(t, 0.1), "H+")
		require.NoError(t, err)
		steps, err := run.Equivalents(100 * mL)
		require.NoError(t, err)
		require.Len(t, steps, 2, metal)
		for i, balance := range []string{"H+ = edta4-", "H+ = 0"} {
			require.Equal(t, balance, steps[i].Balance, metal)
			require.InDelta(t, 5*float64(i+1), steps[i].ML, 1e-9, metal)
		}
	}
}

// Changes come as the titrant goes, whatever their order on the scale of pH: in 50 mL of 0.1 mol/L
// lye under acid of the same strength a dye with two of them turns first at pH 9, with the lye all but used
// up, and then at pH 2, where (50 + V)·0.01 = 0.1 V − 5: V = 5.5/0.09 mL.
func TestChangesInTheOrderOfTheTitrant(t *testing.T) {
	run := book(t, mix(t, 50, map[string]float64{"Na+": 0.1, "OH-": 0.1}), mix(t, 100, map[string]float64{"H+": 0.1, "Cl-": 0.1}), "H+", nil)
	x := indicator(t, "thymol blue")
	x.Changes[0].LowPH, x.Changes[0].HighPH = 1.5, 2.5
	ends, err := run.Endpoints(context.Background(), x, 100*mL)
	require.NoError(t, err)
	require.Len(t, ends, 2)
	require.InDelta(t, 50, ends[0].ML, 0.02)
	require.InDelta(t, 5.5/0.09, ends[1].ML, 1e-6)
	start, err := run.At(0)
	require.NoError(t, err)
	x.Changes[1].LowPH, x.Changes[1].HighPH = start.P, start.P // with the first drop
	first, err := run.Endpoints(context.Background(), x, 10*mL)
	require.NoError(t, err)
	require.Len(t, first, 1)
	require.Zero(t, first[0].ML)
	for i, e := range append(ends, first[0]) { // from the last of its colours to the first
		if i == len(ends) {
			require.Equal(t, []string{x.Colours[2], x.Colours[1]}, []string{e.From, e.To})
			continue
		}
		require.Equal(t, []string{x.Colours[2-i], x.Colours[1-i]}, []string{e.From, e.To})
		require.Less(t, e.BeginsML, e.ML)
		require.Less(t, e.ML, e.CompleteML)
	}
}

// Between points that a step asks for lies a millionth of the volume at least, or half of it, and
// no more where they differ by more than the step: strong acid and lye of 0.1 mol/L, whose pH
// climbs 2,000 units in a mL at the end, by 0.01.
func TestGapsOfAFineGrid(t *testing.T) {
	for _, v0 := range []float64{5, 50} {
		upTo, steep := 2*v0, 0
		run := book(t, mix(t, v0, map[string]float64{"H+": 0.1, "Cl-": 0.1}), strongBase(t, 0.1), "H+", nil)
		curve, err := run.Curve(context.Background(), titration.Grid{UpTo: unit.Volume(upTo) * mL, Step: 0.01})
		require.NoError(t, err)
		for i, p := range curve[1:] {
			gap := (p.ML - curve[i].ML) / upTo
			require.Greater(t, gap, 0.49e-6)
			if p.P-curve[i].P > 0.01 {
				require.Less(t, gap, 1.01e-6)
				steep++
			}
		}
		require.Positive(t, steep)
	}
}

// An inflection's jump goes from 1 % of its volume before to 1 % after. By hand, 50 mL of 0.1 mol/L
// strong acid and lye: H+ is 0.05/99.5 mol/L at 49.5 mL, OH- 0.05/100.5 at 50.5.
func TestJumpByHand(t *testing.T) {
	run := book(t, mix(t, 50, map[string]float64{"H+": 0.1, "Cl-": 0.1}), strongBase(t, 0.1), "H+", nil)
	bends, err := run.Inflections(context.Background(), 100*mL)
	require.NoError(t, err)
	require.Len(t, bends, 1)
	require.InDelta(t, 14+math.Log10(0.05/100.5)+math.Log10(0.05/99.5), bends[0].Jump, 1e-5)
}

// What comes down is no acid, and is not poured: no search for such a constant or concentration begins.
func TestNoAcidConstantOfASolid(t *testing.T) {
	run, err := titration.New(mix(t, 50, map[string]float64{"Ca2+": 0.01, "Mg2+": 0.01, "Cl-": 0.04, "H3cit": 0.01}), strongBase(t, 0.1), "H+")
	require.NoError(t, err)
	readings := []titration.Reading{{ML: 1, P: 3.2}, {ML: 5, P: 3.9}, {ML: 10, P: 4.2}}
	st, err := run.State(mL)
	require.NoError(t, err)
	require.NotEmpty(t, st.Solids)
	for _, solid := range st.Solids {
		for _, of := range []func(string) titration.Unknown{titration.AcidConstant, titration.Concentration} {
			_, err := run.Fit(context.Background(), readings, titration.Fitting{}, of(solid.Species))
			var in *chem.InputError
			require.ErrorAs(t, err, &in, solid.Species)
			require.Equal(t, "a species of this titration", in.Want)
		}
	}
}

// A small pipette refilled errs anew with each filling (a limit of error counts by the root of 3,
// JCGM 100:2008, 4.3.7), and what has no capacity of its own delivers any volume.
func TestSmallPipettesAndNoCapacity(t *testing.T) {
	for capacity, fillings := range map[float64]float64{0.5: 6, 1: 3, 1.5: 2, 3: 1} {
		x := titration.Titre{
			Sample:    titration.Aliquot{Volume: 3 * mL, With: tables.Dispenser{CapacityML: capacity, ToleranceML: 0.01}},
			Strength:  titration.Result{Value: 0.1},
			Delivered: titration.Aliquot{Volume: 10 * mL},
		}
		c, err := x.Concentration()
		require.NoError(t, err)
		require.InEpsilon(t, fillings*0.01/3/math.Sqrt(3), c.Relative(), 1e-12, "%g mL", capacity)
	}
	jug := tables.Dispenser{Serves: "titrant", StepML: 1}
	pipette := tables.Dispenser{CapacityML: 100, ToleranceML: 0.08, Serves: "sample"}
	all, err := titration.Titre{}.Schemes(0.1, 0.01, []tables.Dispenser{pipette, jug}, 0.01)
	require.NoError(t, err)
	require.Len(t, all, 1)
	require.InDelta(t, 1000, all[0].TitrantML, 1e-9)
}

// A solid counts where each vessel brings one of its two ions: lye over magnesium brings no ion
// but takes H+, and sulfate over barium that is in both vessels meets none of its own.
func TestSolidsOfTwoIons(t *testing.T) {
	for _, x := range []struct {
		sample, titrant map[string]float64
		probe           string
		balances        int
	}{
		{map[string]float64{"Mg2+": 0.01, "Cl-": 0.02}, map[string]float64{"Na+": 0.1, "OH-": 0.1}, "Mg2+", 0},
		{map[string]float64{"Ba2+": 0.01, "Cl-": 0.02}, map[string]float64{"Na+": 0.1, "SO4(2-)": 0.05}, "Ba2+", 1},
		{map[string]float64{"Ba2+": 0.01, "Cl-": 0.01, "SO4(2-)": 0.005}, map[string]float64{"Na+": 0.1, "SO4(2-)": 0.05}, "Ba2+", 0},
	} {
		run, err := titration.New(mix(t, 50, x.sample), mix(t, 100, x.titrant), x.probe)
		require.NoError(t, err)
		all, err := run.Equivalents(100 * mL)
		require.NoError(t, err)
		require.Len(t, all, x.balances, "%v", all)
	}
}

// One drop on the water is a count, and tells no chelant however much hardness it bound; none is no count.
func TestOneDropOnTheWater(t *testing.T) {
	x := titration.KitTest{Bath: titration.Aliquot{Volume: mL}, Water: titration.Aliquot{Volume: 100 * mL}, WaterDrops: 1, Drops: 1, PerDrop: titration.Result{Value: 1e-4}}
	_, err := x.Concentration()
	require.ErrorIs(t, err, titration.ErrNone)
	x.WaterDrops = 0
	_, err = x.Concentration()
	require.ErrorIs(t, err, chem.ErrInput)
	require.NotErrorIs(t, err, titration.ErrNone)
}
