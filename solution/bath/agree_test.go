package bath_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
)

// What a bath is told to come to without a clock is where its course leads when it is shut
// and holds no steel: the climb of the pH with the rust, and the acid that takes it back.
func TestDriftAndUpkeepAgreeWithTheCourse(t *testing.T) {
	o, citric := demo.Oxide(t, "lepidocrocite"), demo.Reagent(t, "citric acid")
	b := demo.Mix(t, demo.Recipe(t))
	const iron = 0.45 // mol
	drift, err := b.Drift(o, 200)
	require.NoError(t, err)
	kept, err := b.Upkeep(citric, o, 7, 0.5)
	require.NoError(t, err)
	c, err := b.Course(bath.Parts{Rust: rusty(t, iron)})
	require.NoError(t, err)
	gone := func(h bath.Hour) float64 { return o.Grams(iron) - h.RustLeftGrams.Typical }
	due, met := 0.0, 0
	var last bath.Hour
	for hour := 0.25; hour < 12; hour *= 1.2 {
		told, err := c.Until(unit.Time(hour) * measure.Hour)
		require.NoError(t, err)
		h := told[0]
		if due == 0 && h.PH.Typical > 7.5 {
			due = gone(last) + (gone(h)-gone(last))*(7.5-last.PH.Typical)/(h.PH.Typical-last.PH.Typical)
		}
		last = h
		for i := 1; i < len(drift); i++ {
			a, z := drift[i-1], drift[i]
			if a.RustGrams <= gone(h) && gone(h) < z.RustGrams {
				met++
				require.InDelta(t, a.PH+(z.PH-a.PH)*(gone(h)-a.RustGrams)/(z.RustGrams-a.RustGrams), h.PH.Typical, 0.01, "%g h", hour)
			}
		}
	}
	require.Greater(t, met, 10)
	require.InEpsilon(t, kept.Doses[0].RustGrams, due, 0.02)
	at := b.Clone()
	require.NoError(t, at.Dissolve(o, unit.Mass(kept.Doses[0].RustGrams)*measure.Gram))
	require.NoError(t, at.Add(citric, unit.Mass(kept.Doses[0].AcidGrams)*measure.Gram))
	require.InDelta(t, 7, state(t, at).PH, 1e-4)
}

// One rule for gas in an open tub, however little there is of it: it is reckoned as the
// vessel that has lost it.
func TestOpenTubIsReckonedByOneRule(t *testing.T) {
	o := demo.Oxide(t, "lepidocrocite")
	for _, grams := range []map[string]float64{{"disodium EDTA": 500, "washing soda": 72}, {"disodium EDTA": 500, "lye": 45}} {
		open, want := plainTub(t, bath.Place{Cover: bath.Still}, grams), plainTub(t, bath.Place{}, grams)
		_, err := want.Degas()
		require.NoError(t, err)
		takes := func(b *bath.Bath) bath.Capacity {
			c, _, err := b.LeftAlone(o)
			require.NoError(t, err)
			return c
		}
		require.InEpsilon(t, takes(want).RustGrams, takes(open).RustGrams, 1e-9)
		acid, err := open.Upkeep(demo.Reagent(t, "citric acid"), o, 7, 0.5)
		require.NoError(t, err)
		wanted, err := want.Upkeep(demo.Reagent(t, "citric acid"), o, 7, 0.5)
		require.NoError(t, err)
		require.InEpsilon(t, wanted.Acid.MassGrams, acid.Acid.MassGrams, 1e-4, "what little carbon dioxide comes in as the pH climbs")
	}
}

// By air a day, told of a bath whose iron is iron(III) still, is what the course takes once
// bare steel has turned it back: half as much iron more.
func TestTollByAirCountsTheSteelThatGoes(t *testing.T) {
	b := used(t, bath.Place{Cover: bath.Still})
	told, err := b.Redox()
	require.NoError(t, err)
	c, err := b.Course(bath.Parts{BareSteelCm2: 1e6})
	require.NoError(t, err)
	hours, err := c.Until(measure.Hour, 2*measure.Hour)
	require.NoError(t, err)
	require.InEpsilon(t, told.InBath.SteelGrams, hours[0].SteelLostGrams.Typical, 0.02)
	require.InEpsilon(t, told.SteelByAirGramsPerDay.Typical, 24*(hours[1].SteelLostGrams.Typical-hours[0].SteelLostGrams.Typical), 0.01)
}
