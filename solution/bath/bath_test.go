package bath_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/tables"
)

func standard(t testing.TB) *tables.Tables {
	t.Helper()
	std, err := tables.Standard()
	require.NoError(t, err)
	return std
}

func reagent(t testing.TB, name string) tables.Reagent {
	t.Helper()
	r, err := standard(t).Reagent(name)
	require.NoError(t, err)
	return r
}

func oxide(t testing.TB, name string) bath.Oxide {
	t.Helper()
	o, err := bath.FindOxide(standard(t), name)
	require.NoError(t, err)
	return o
}

// recipe is the demo: invented.
func recipe(t testing.TB) bath.Recipe {
	t.Helper()
	w, err := standard(t).Water("moderately hard tap water")
	require.NoError(t, err)
	return bath.Recipe{
		Water: w, Volume: 20e-3, Temperature: chem.Celsius(20),
		Chelant: reagent(t, "tetrasodium EDTA tetrahydrate"), Amount: measure.AmountOfMass(0.5),
		Acid: reagent(t, "citric acid"), PH: 7,
	}
}

func mix(t testing.TB, r bath.Recipe) *bath.Bath {
	t.Helper()
	b, err := r.Mix(standard(t))
	require.NoError(t, err)
	return b
}

// pure returns a litre of pure water at 25 °C with so much Na4(edta), brought
// to a pH with a reagent.
func pure(t testing.TB, std *tables.Tables, edta, pH float64, acid string) *bath.Bath {
	t.Helper()
	v, err := solution.New(std, chem.Celsius(25))
	require.NoError(t, err)
	require.NoError(t, v.AddPureWater(1e-3))
	require.NoError(t, v.AddSpecies("edta4-", unit.Mole(edta)))
	require.NoError(t, v.AddSpecies("Na+", unit.Mole(4*edta)))
	if acid != "" {
		r, err := std.Reagent(acid)
		require.NoError(t, err)
		d, err := v.Dose(r, solution.PH(pH))
		require.NoError(t, err)
		require.NoError(t, v.Add(r, d.Mass()))
	}
	b, err := bath.New(std, v)
	require.NoError(t, err)
	return b
}

func TestRefusedInput(t *testing.T) {
	b := mix(t, recipe(t))
	o := oxide(t, "goethite")
	citric := reagent(t, "citric acid")
	rust, err := standard(t).Rust("fresh orange rust")
	require.NoError(t, err)
	nan := 0.0
	nan /= nan
	for name, call := range map[string]func() error{
		"held pH":      func() error { _, err := b.Limit(o, 14); return err },
		"no number":    func() error { _, err := b.Limit(o, nan); return err },
		"window":       func() error { _, err := b.Window([]bath.Oxide{o}, 8, 7, 1); return err },
		"step":         func() error { _, err := b.Window([]bath.Oxide{o}, 7, 8, 0); return err },
		"portions":     func() error { _, err := b.Drift(o, 1); return err },
		"hold":         func() error { _, err := b.Upkeep(citric, o, 0, 0.5); return err },
		"rise":         func() error { _, err := b.Upkeep(citric, o, 7, 0); return err },
		"drain":        func() error { return b.Drain(1) },
		"rust":         func() error { return b.Dissolve(o, -1) },
		"steel":        func() error { return b.Corrode(nan) },
		"reading":      func() error { _, err := b.At(15); return err },
		"wanted":       func() error { _, err := b.Diagnose(citric, o, nan); return err },
		"oxide":        func() error { _, err := bath.FindOxide(standard(t), "calcite"); return err },
		"siderite":     func() error { _, err := bath.FindOxide(standard(t), "siderite"); return err },
		"thickness":    func() error { _, err := bath.LayerOfThickness(rust, 1); return err },
		"mass of rust": func() error { _, err := bath.LayerOfMass(rust, 0); return err },
		"years":        func() error { _, err := bath.LayerOfYears(tables.Corrosivity{}, rust, -1); return err },
		"tub":          func() error { _, err := bath.Box(0, 1, 1); return err },
		"bag":          func() error { _, err := bath.Bag(citric, 0, 0.1); return err },
		"no chelant":   func() error { _, err := bath.Bag(reagent(t, "lye"), 1, 0.1); return err },
		"bought":       func() error { _, err := bath.Bought{Price: -1, Volume: 1e-3, Rust: 1}.Terms(bath.Layer{}); return err },
		"treatment":    func() error { _, err := bath.Recoveries(b, reagent(t, "lye"), reagent(t, "lye")); return err },
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
			require.Equal(t, before.Litres, after.Litres)
		})
	}
	_, err = bath.FindOxide(standard(t), "gothite")
	require.ErrorIs(t, err, tables.ErrNotFound)
}

func TestRefusedRecipes(t *testing.T) {
	for name, change := range map[string]func(*bath.Recipe){
		"Volume":      func(r *bath.Recipe) { r.Volume = 0 },
		"Chelant":     func(r *bath.Recipe) { r.Chelant = reagent(t, "lye") },
		"Acid":        func(r *bath.Recipe) { r.Acid = tables.Reagent{} },
		"PH":          func(r *bath.Recipe) { r.PH = 13 },
		"Temperature": func(r *bath.Recipe) { r.Temperature = 20 },
		"Amount":      func(r *bath.Recipe) { r.Amount = measure.AmountOfMass(50) },
		"Materials":   func(r *bath.Recipe) { r.Materials = []string{"zink"} },
		"Extras":      func(r *bath.Recipe) { r.Extras = []bath.Extra{{Mass: 1}} },
	} {
		t.Run(name, func(t *testing.T) {
			r := recipe(t)
			change(&r)
			for _, err := range []error{
				func() error { _, err := r.Plan(standard(t)); return err }(),
				func() error { _, err := r.Mix(standard(t)); return err }(),
				func() error { _, err := r.Scale(0.001); return err }(),
			} {
				var e *chem.InputError
				require.ErrorAs(t, err, &e)
				require.ErrorIs(t, err, chem.ErrInput)
				require.Equal(t, name, e.Field)
			}
		})
	}
	r := recipe(t)
	r.Acid, r.PH = reagent(t, "lye"), 7
	_, err := r.Mix(standard(t))
	require.ErrorIs(t, err, solution.ErrUnreachable)
	require.ErrorIs(t, err, chem.ErrInput)
}

func TestFilterTakesOutWhatSettled(t *testing.T) {
	b := mix(t, recipe(t))
	require.NoError(t, b.Dissolve(oxide(t, "ferrihydrite"), 400)) // three times what it can hold
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
	b := mix(t, recipe(t))
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
	r := recipe(t)
	r.PH = 10
	b := mix(t, r)
	require.NoError(t, b.Open(solution.AirCO2))
	open, err := b.State()
	require.NoError(t, err)
	require.Less(t, open.PH, 9.5)
	o := oxide(t, "lepidocrocite")
	aired, err := b.Drift(o, 4)
	require.NoError(t, err)
	b.Close()
	closed, err := b.Drift(o, 4)
	require.NoError(t, err)
	// What dissolves makes the bath alkaline, and the air works against that.
	require.Greater(t, aired[4].Rust, closed[4].Rust)
	require.Less(t, aired[4].PH, closed[4].PH)
	// Filtering and the like keep it open.
	require.NoError(t, b.Open(solution.AirCO2))
	require.NoError(t, b.Filter())
	still, err := b.State()
	require.NoError(t, err)
	require.InDelta(t, open.PH, still.PH, 1e-9)
}
