package titration_test

import (
	"context"
	"encoding/json"
	"fmt"
	"iter"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/internal/laws"
	"example.com/chelation/solution/titration"
	"example.com/chelation/tables"
)

// survives checks that a result comes back from JSON as it went in.
func survives(t *testing.T, x any) {
	t.Helper()
	assert.Empty(t, cmp.Diff(x, laws.ThroughJSON(t, x)), "%T", x)
}

// Every public result survives JSON, the pM of a metal that is not there yet
// included.
func TestResultsSurviveJSON(t *testing.T) {
	ctx := context.Background()
	run, err := titration.New(mix(t, 50, map[string]float64{"Na+": 0.02, "H2edta2-": 0.01}), mix(t, 100, map[string]float64{"Ca2+": 0.01, "Cl-": 0.02}), "Ca2+")
	require.NoError(t, err)
	curve, err := run.Curve(ctx, titration.Grid{UpTo: 100 * mL, Points: 5, Slopes: true})
	require.NoError(t, err)
	survives(t, curve)
	text, err := json.Marshal(curve[0])
	require.NoError(t, err)
	assert.Contains(t, string(text), `"p":null`, "no calcium yet")
	assert.Error(t, json.Unmarshal([]byte(`{"ml": "much"}`), new(titration.Point)))

	acid, err := titration.New(mix(t, 50, map[string]float64{"Hac": 0.1}), strongBase(t, 0.1), "H+")
	require.NoError(t, err)
	equivalents, err := acid.Equivalents(100 * mL)
	require.NoError(t, err)
	inflections, err := acid.Inflections(ctx, 100*mL)
	require.NoError(t, err)
	buffers, err := acid.Buffers(ctx, 100*mL)
	require.NoError(t, err)
	verdicts, err := acid.Judge(ctx, tables.All[tables.Indicator](demo.Tables(t)), 50*mL, 20*mL, 0.005)
	require.NoError(t, err)
	require.Zero(t, verdicts[len(verdicts)-1].ML, "one that does not turn is among them")
	var readings []titration.Reading
	for ml := 10.0; ml <= 40; ml += 5 {
		p, err := acid.At(unit.Volume(ml) * mL)
		require.NoError(t, err)
		readings = append(readings, p.Reading)
	}
	line, err := titration.Gran(titration.GranWeak, 50*mL, readings)
	require.NoError(t, err)
	fit, err := acid.Fit(ctx, readings, titration.Fitting{Standard: 0.01}, titration.Concentration("Hac"))
	require.NoError(t, err)
	kit := titration.KitTest{
		Bath: titration.Aliquot{Volume: mL}, Water: titration.Aliquot{Volume: 100 * mL}, WaterDrops: 12, Drops: 6,
		PerDrop: titration.Result{Value: 0.0002, Standard: 0.00001},
	}
	c, err := kit.Concentration()
	require.NoError(t, err)
	schemes, err := titration.Titre{}.Schemes(0.05, 0.005, dispensers(t), 0.01)
	require.NoError(t, err)
	shades, err := acid.Shades(indicator(t, "methyl red"), 10*mL)
	require.NoError(t, err)
	ends, err := acid.Endpoints(ctx, indicator(t, "methyl red"), 100*mL)
	require.NoError(t, err)
	quick := 0.1
	for _, x := range []any{
		curve, equivalents, inflections, buffers, verdicts, readings, line, *fit, fit.Estimates, c, c.Parts, schemes,
		shades, ends, titration.Interference{QuickMolPerLitre: &quick},
		titration.Grid{UpTo: mL, Points: 3, Step: 0.1, Slopes: true, Species: []string{"Ca2+"}}, titration.Fitting{Standard: 0.1, VolumeStandard: mL, Robust: true},
		titration.Titre{Sample: titration.Aliquot{Volume: 5 * mL, With: dispensers(t)[10]}, Strength: titration.Result{Value: 0.1}, Drops: 12},
		kit, kit.Bath,
	} {
		require.NotZero(t, x)
		survives(t, x)
	}
}

// A method on a zero value gives what it can or an error, and so does one with
// zero arguments on a titration that is sound; none panics.
func TestZeroValues(t *testing.T) {
	sound, err := titration.New(mix(t, 50, map[string]float64{"Hac": 0.1}), strongBase(t, 0.1), "H+")
	require.NoError(t, err)
	for _, x := range []any{
		new(titration.Titration), sound, new(titration.Point), new(titration.Titre), new(titration.KitTest), new(titration.Result), new(titration.Grid),
	} {
		for method, call := range laws.Methods(x) {
			name := fmt.Sprintf("%T.%s", x, method)
			assert.NotPanics(t, func() {
				for _, out := range call() {
					if walk, ok := out.Interface().(iter.Seq2[titration.Point, error]); ok {
						for _, err := range walk {
							assert.ErrorIs(t, err, chem.ErrInput, name)
						}
					}
					if err, ok := out.Interface().(error); ok {
						assert.ErrorIs(t, err, chem.ErrInput, name)
					}
				}
			}, name)
		}
	}
	empty := new(solution.Solution)
	for _, pair := range [][2]*solution.Solution{{nil, nil}, {empty, empty}, {mix(t, 50, nil), nil}, {empty, mix(t, 50, nil)}} {
		_, err := titration.New(pair[0], pair[1], "H+")
		assert.ErrorIs(t, err, chem.ErrInput)
		_, err = titration.PredictInterference(context.Background(), pair[0], mL, pair[1], tables.Indicator{})
		assert.ErrorIs(t, err, chem.ErrInput)
	}
	_, err = titration.Gran(0, 0, nil)
	assert.ErrorIs(t, err, chem.ErrInput)
	_, err = sound.Fit(context.Background(), []titration.Reading{{ML: 1, P: 3}, {ML: 2, P: 4}}, titration.Fitting{}, "")
	assert.ErrorIs(t, err, chem.ErrInput)
}
