package bath_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/care"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

func TestRefusedInput(t *testing.T) {
	b := demo.Mix(t, demo.Recipe(t))
	o := demo.Oxide(t, "goethite")
	citric := demo.Reagent(t, "citric acid")
	fresh, err := demo.Tables(t).Rust("fresh orange rust")
	require.NoError(t, err)
	nan := 0.0
	nan /= nan
	for name, call := range map[string]func() error{
		"held pH":      func() error { _, err := b.Limit(o, 14); return err },
		"no number":    func() error { _, err := b.Limit(o, nan); return err },
		"portions":     func() error { _, err := b.Drift(o, 1); return err },
		"hold":         func() error { _, err := b.Upkeep(citric, o, 0, 0.5); return err },
		"rise":         func() error { _, err := b.Upkeep(citric, o, 7, 0); return err },
		"drain":        func() error { return b.Drain(1) },
		"rust":         func() error { return b.Dissolve(o, -1) },
		"steel":        func() error { return b.Corrode(unit.Mass(nan)) },
		"reading":      func() error { _, err := b.At(15); return err },
		"wanted":       func() error { _, err := b.Diagnose(citric, o, nan); return err },
		"oxide":        func() error { _, err := bath.FindOxide(demo.Tables(t), "calcite"); return err },
		"siderite":     func() error { _, err := bath.FindOxide(demo.Tables(t), "siderite"); return err },
		"thickness":    func() error { _, err := rust.LayerOfThickness(fresh, 1); return err },
		"mass of rust": func() error { _, err := rust.LayerOfMass(fresh, 0, 1); return err },
		"years":        func() error { _, err := rust.LayerOfYears(tables.Corrosivity{}, fresh, -1); return err },
		"tub":          func() error { _, err := recipe.Box(0, 1, 1); return err },
		"bag":          func() error { _, err := recipe.Bag(citric, 0, 0.1); return err },
		"no chelant":   func() error { _, err := recipe.Bag(demo.Reagent(t, "lye"), 1, 0.1); return err },
		"bought": func() error {
			_, err := recipe.TermsOf(-1, 1e-3, 1, rust.Layer{})
			return err
		},
		"treatment": func() error { _, err := care.Recoveries(b, demo.Reagent(t, "lye"), demo.Reagent(t, "lye")); return err },
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
	_, err = bath.FindOxide(demo.Tables(t), "gothite")
	require.ErrorIs(t, err, tables.ErrNotFound)
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
	require.InDelta(t, before.Concentration("Fe(OH)(edta)^2-"), after.Concentration("Fe(OH)(edta)^2-"), 1e-12)
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
