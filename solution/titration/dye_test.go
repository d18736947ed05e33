package titration_test

import (
	"cmp"
	"context"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/solution/titration"
	"example.com/chelation/tables"
)

// hardAt is a hard water held at a pH under a burette of EDTA, in which magnesium is followed.
func hardAt(t *testing.T, pH, magnesium float64) *titration.Titration {
	t.Helper()
	sample := mix(t, 50, map[string]float64{"Mg2+": magnesium, "Cl-": 2 * magnesium})
	require.NoError(t, sample.HoldPH(pH))
	sample.SetIdeal(true)
	run, err := titration.New(sample, mix(t, 100, map[string]float64{"Na+": 4 * magnesium, "H2edta2-": 2 * magnesium}), "Mg2+")
	require.NoError(t, err)
	return run
}

// A complex whose constant nobody measured takes no dye, and a dye that only such a complex
// would hold is none for this metal: it is left out, as one of foreign metals is.
func TestDyeWithoutAConstant(t *testing.T) {
	run := hardAt(t, 10, 0.002)
	free := indicator(t, "EBT")
	unknown, foreign := free, free
	free.Complexes = nil
	unknown.Complexes = []tables.IndicatorComplex{{Metal: species(t, "Mg2+"), Colour: "wine red"}}
	foreign.Complexes = []tables.IndicatorComplex{{Metal: species(t, "Zn2+"), LogBeta: []float64{12}, Colour: "wine red"}}
	want, err := run.Shades(free, 3*mL)
	require.NoError(t, err)
	for _, x := range []tables.Indicator{unknown, foreign} {
		got, err := run.Shades(x, 3*mL)
		require.NoError(t, err)
		require.Equal(t, want, got)
	}
	known := indicator(t, "EBT")
	verdicts, err := run.Judge(context.Background(), slices.Values([]tables.Indicator{unknown, known, foreign}), 25*mL, 30*mL, 0.02)
	require.NoError(t, err)
	require.Len(t, verdicts, 1)
	require.Equal(t, known.Name, verdicts[0].Indicator)
	// one of two metals is enough
	unknown.Complexes = append(unknown.Complexes, known.Complexes...)
	verdicts, err = run.Judge(context.Background(), slices.Values([]tables.Indicator{unknown}), 25*mL, 30*mL, 0.02)
	require.NoError(t, err)
	require.Len(t, verdicts, 1)
}

// Forms of one colour are one shade, wherever they stand. Of a dye with pKa 4 and 6 the forms
// are by hand, over the bare one, 10^(4+6−2pH), 10^(6−pH) and 1.
func TestFormsOfOneColour(t *testing.T) {
	for _, colours := range [][]string{{"red", "red", "blue"}, {"blue", "red", "red"}, {"red", "blue", "red"}, {"red", "red", "red"}} {
		for _, pH := range []float64{3, 5, 5.7, 8} {
			run := hardAt(t, pH, 0.002)
			shades, err := run.Shades(tables.Indicator{Kind: tables.Metallochromic, PKa: []float64{4, 6}, Colours: colours}, 3*mL)
			require.NoError(t, err)
			forms := []float64{math.Pow(10, 10-2*pH), math.Pow(10, 6-pH), 1}
			want := map[string]float64{}
			for i, colour := range colours {
				want[colour] += forms[i] / (forms[0] + forms[1] + forms[2])
			}
			require.Len(t, shades, len(want), "%v at pH %g", colours, pH)
			for _, s := range shades {
				require.InEpsilon(t, want[s.Colour], s.Share, 1e-6, "%s of %v at pH %g", s.Colour, colours, pH)
			}
			require.True(t, slices.IsSortedFunc(shades, func(a, b titration.Shade) int { return cmp.Compare(b.Share, a.Share) }))
		}
	}
}

// Why a dye stays is told by what it looks like at the end of the burette: at the pKa of
// eriochrome black T, 11.55, the free dye is of two colours, half each, so that red can lead
// while it holds less than half; it has lost the lead by the end, a thousandth before or after
// which the answer differs.
func TestWhyIsToldAtTheEnd(t *testing.T) {
	run := hardAt(t, 11.55, 3.8e-7)
	x := indicator(t, "EBT")
	leads := func(ml float64) string {
		shades, err := run.Shades(x, volumeOf(ml))
		require.NoError(t, err)
		return shades[0].Metal
	}
	require.Equal(t, "Mg2+", leads(0))
	low, high := 0.0, 20.0
	require.Empty(t, leads(high))
	for range 50 {
		if middle := (low + high) / 2; leads(middle) == "" {
			high = middle
		} else {
			low = middle
		}
	}
	for end, want := range map[float64]string{low * 0.999: "Mg2+ holds the dye to the end", high * 1.001: "no metal holds the dye at this pH"} {
		verdicts, err := run.Judge(context.Background(), slices.Values([]tables.Indicator{x}), 25*mL, volumeOf(end), 0.02)
		require.NoError(t, err)
		require.Len(t, verdicts, 1)
		require.Zero(t, verdicts[0].ML, "half of it is free all along")
		require.Equal(t, want, verdicts[0].Why)
	}
}

// What is no whole indicator is refused: one without an acid constant, one whose forms and
// colours are not one more than those, an acid–base one without all its changes.
func TestPartsOfADye(t *testing.T) {
	run := hardAt(t, 10, 0.002)
	change := tables.ColourChange{LowPH: 5, HighPH: 7}
	for _, x := range []tables.Indicator{
		{Kind: tables.Metallochromic, Colours: []string{"blue"}}, {Kind: tables.AcidBase, Colours: []string{"blue"}}, {Kind: tables.Metallochromic, PKa: []float64{6}, Colours: []string{"blue"}},
		{Kind: tables.Metallochromic, PKa: []float64{6}, Colours: []string{"blue", "red", "blue"}}, {Kind: tables.AcidBase, PKa: []float64{6}, Colours: []string{"blue", "red"}},
		{Kind: tables.AcidBase, PKa: []float64{6}, Colours: []string{"blue", "red"}, Changes: []tables.ColourChange{change, change}},
	} {
		_, err := run.Shades(x, mL)
		require.ErrorIs(t, err, chem.ErrInput, "%+v", x)
		require.ErrorContains(t, err, "indicator")
	}
	for _, x := range []tables.Indicator{
		{Kind: tables.Metallochromic, PKa: []float64{6}, Colours: []string{"blue", "red"}},
		{Kind: tables.AcidBase, PKa: []float64{6}, Colours: []string{"blue", "red"}, Changes: []tables.ColourChange{change}},
	} {
		_, err := run.Shades(x, mL)
		require.NoError(t, err)
	}
}

// A tint of a colour is no change that an eye sees, whichever way it goes: a dye that is yellow
// with its metal and pale yellow without serves nobody, one that is red with it does.
func TestTintsAreNoChange(t *testing.T) {
	run := hardAt(t, 10, 0.002)
	for _, c := range []struct {
		bound, free string
		suits       bool
	}{{"yellow", "pale yellow", false}, {"pale yellow", "yellow", false}, {"yellow", "yellow", false}, {"red", "yellow", true}} {
		x := indicator(t, "EBT")
		x.Colours = []string{c.free, c.free, c.free}
		x.Complexes = []tables.IndicatorComplex{{Metal: species(t, "Mg2+"), LogBeta: []float64{7}, Colour: c.bound}}
		verdicts, err := run.Judge(context.Background(), slices.Values([]tables.Indicator{x}), 25*mL, 50*mL, 0.05)
		require.NoError(t, err)
		require.Len(t, verdicts, 1)
		require.Equal(t, c.suits, verdicts[0].Suits, "%+v", verdicts[0])
		require.Equal(t, !c.suits, verdicts[0].Why == "bound and free dye are both "+c.free+" at this pH", verdicts[0].Why)
	}
}

func species(t *testing.T, name string) chem.Species {
	t.Helper()
	s, err := chem.ParseSpecies(name)
	require.NoError(t, err)
	return s
}
