package bath_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

func TestRefusedInput(t *testing.T) {
	b := demo.Mix(t, demo.Recipe(t))
	o := demo.Oxide(t, "goethite")
	citric := demo.Reagent(t, "citric acid")
	nan := math.NaN()
	for name, call := range map[string]func() error{
		"held pH":    func() error { _, err := b.Limit(o, 14); return err },
		"no number":  func() error { _, err := b.Limit(o, nan); return err },
		"portions":   func() error { _, err := b.Drift(o, 1); return err },
		"hold":       func() error { _, err := b.Upkeep(citric, o, 0, 0.5); return err },
		"rise":       func() error { _, err := b.Upkeep(citric, o, 7, 0); return err },
		"drain":      func() error { return b.Drain(1) },
		"rust":       func() error { return b.Dissolve(o, -1) },
		"steel":      func() error { return b.Corrode(unit.Mass(nan)) },
		"reading":    func() error { _, err := b.At(15); return err },
		"wanted":     func() error { _, err := b.Diagnose(o, nan, citric); return err },
		"oxide":      func() error { _, err := bath.FindOxide(demo.Tables(t), "calcite"); return err },
		"siderite":   func() error { _, err := bath.FindOxide(demo.Tables(t), "siderite"); return err },
		"tub":        func() error { _, err := recipe.Tub{}.Cover(recipe.Part{}, 0); return err },
		"bag":        func() error { _, err := recipe.Bag(citric, 0, 0.1); return err },
		"no chelant": func() error { _, err := recipe.Bag(demo.Reagent(t, "lye"), 1, 0.1); return err },
		"bought": func() error {
			_, err := recipe.TermsOf(-1, 1e-3, 1, rust.Layer{})
			return err
		},
	} {
		t.Run(name, func(t *testing.T) {
			before, err := b.State()
			require.NoError(t, err)
			err = call()
			require.ErrorIs(t, err, chem.ErrInput)
			var e *chem.InputError
			require.ErrorAs(t, err, &e)
			require.NotEmpty(t, e.Field)
			after, err := b.State()
			require.NoError(t, err)
			require.InDelta(t, before.PH, after.PH, 1e-9)
			require.Equal(t, before.VolumeLitres, after.VolumeLitres)
		})
	}
	_, err := bath.FindOxide(demo.Tables(t), "gothite")
	require.ErrorIs(t, err, tables.ErrNotFound)
	require.ErrorContains(t, err, "goethite")
	_, err = bath.FindOxide(demo.Tables(t), "Fe3+")
	require.NotContains(t, err.Error(), "vivianite", "a phosphate")
	_, err = bath.FindOxide(nil, "goethite")
	require.ErrorIs(t, err, tables.ErrNotFound)
	require.Zero(t, bath.HoldingsOf(nil))
}

func TestFilterTakesOutWhatSettled(t *testing.T) {
	b := demo.Mix(t, demo.Recipe(t))
	require.NoError(t, b.Dissolve(demo.Oxide(t, "ferrihydrite"), 400*measure.Gram)) // three times what it can hold
	before, err := b.State()
	require.NoError(t, err)
	settled := 0.0
	for _, s := range before.Solids {
		settled += s.Moles
	}
	require.Greater(t, settled, 1.0)
	require.NoError(t, b.Filter())
	after, err := b.State()
	require.NoError(t, err)
	for _, s := range after.Solids {
		require.Less(t, s.Moles, 1e-9*settled, s.Name)
	}
	require.InDelta(t, before.PH, after.PH, 1e-9)
	one, err := before.Concentration("Fe(OH)(edta)^2-")
	require.NoError(t, err)
	two, err := after.Concentration("Fe(OH)(edta)^2-")
	require.NoError(t, err)
	require.InDelta(t, one, two, 1e-12)
}

func TestAtAReading(t *testing.T) {
	b := demo.Mix(t, demo.Recipe(t))
	for _, pH := range []float64{2, 5, 7, 9, 12} {
		at, err := b.At(pH)
		require.NoError(t, err)
		st, err := at.State()
		require.NoError(t, err)
		require.InDelta(t, pH, st.PH, 1e-9)
	}
	st, err := b.State()
	require.NoError(t, err)
	require.InDelta(t, 7, st.PH, 1e-9) // b itself is as it was
}

// A bath that stands open takes up carbon dioxide while it is alkaline, and its
// pH falls; that of a bath in acid does not climb above what it was.
func TestOpenBathTakesUpCarbonDioxide(t *testing.T) {
	r := demo.Recipe(t)
	r.PH = 10
	b := demo.Mix(t, r)
	require.NoError(t, b.Open(solution.AirCO2))
	open, err := b.State()
	require.NoError(t, err)
	require.Less(t, open.PH, 9.5)
	o := demo.Oxide(t, "lepidocrocite")
	aired, err := b.Drift(o, 4)
	require.NoError(t, err)
	b.Close()
	closed, err := b.Drift(o, 4)
	require.NoError(t, err)
	// What dissolves makes the bath alkaline, and the air works against that.
	require.Greater(t, aired[4].RustGrams, closed[4].RustGrams)
	require.Less(t, aired[4].PH, closed[4].PH)
	// Filtering and the like keep it open.
	require.NoError(t, b.Open(solution.AirCO2))
	require.NoError(t, b.Filter())
	still, err := b.State()
	require.NoError(t, err)
	require.InDelta(t, open.PH, still.PH, 1e-9)
}

// Blending conserves, and the blend takes what the two could together, nearly.
func TestBlend(t *testing.T) {
	old, fresh := demo.Mix(t, demo.Recipe(t)), demo.Mix(t, demo.Recipe(t))
	o := demo.Oxide(t, "lepidocrocite")
	require.NoError(t, old.Dissolve(o, 40*measure.Gram))
	a, err := old.Holdings()
	require.NoError(t, err)
	litres := fresh.Litres() + old.Litres()
	require.NoError(t, fresh.Blend(old))
	both, err := fresh.Holdings()
	require.NoError(t, err)
	require.InDelta(t, 2*a[0].TotalMoles, both[0].TotalMoles, 1e-9)
	require.InDelta(t, a[0].IronMoles, both[0].IronMoles, 0.01*a[0].IronMoles)
	require.InDelta(t, litres, fresh.Litres(), 1e-9)
}

// Solids appear when they should: the acid form in a bath that got too much
// acid, the hydroxide in one that was made alkaline after it took up iron.
func TestSolidsAppear(t *testing.T) {
	settled := func(b *bath.Bath) map[string]float64 {
		st, err := b.State()
		require.NoError(t, err)
		out := map[string]float64{}
		for _, s := range st.Solids {
			if s.Moles > 1e-9 {
				out[s.Name] = s.Moles
			}
		}
		return out
	}
	b := demo.Mix(t, demo.Recipe(t))
	require.Empty(t, settled(b))
	sour, err := b.At(2)
	require.NoError(t, err)
	require.Contains(t, settled(sour), "EDTA acid")

	require.NoError(t, b.Dissolve(demo.Oxide(t, "lepidocrocite"), 40*measure.Gram))
	require.Empty(t, settled(b))
	alkaline, err := b.At(12.5)
	require.NoError(t, err)
	require.Contains(t, settled(alkaline), "ferrihydrite")
}

// The volume of a bath grows with that of its water as it warms.
func TestTemperature(t *testing.T) {
	b := demo.Mix(t, demo.Recipe(t))
	litres := b.Litres()
	require.NoError(t, b.SetTemperature(chem.Celsius(40)))
	require.InDelta(t, litres*chem.WaterDensity(chem.Celsius(20))/chem.WaterDensity(chem.Celsius(40)), b.Litres(), 1e-9)
	require.ErrorIs(t, b.SetTemperature(20), chem.ErrInput)
}
