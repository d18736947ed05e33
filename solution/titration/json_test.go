package titration_test

import (
	"context"
	"encoding/json"
	"reflect"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/solution/titration"
)

// survives checks that a result comes back from JSON as it went in.
func survives(t *testing.T, x any) {
	t.Helper()
	text, err := json.Marshal(x)
	require.NoError(t, err, "%T", x)
	back := reflect.New(reflect.TypeOf(x))
	require.NoError(t, json.Unmarshal(text, back.Interface()), "%T", x)
	assert.Empty(t, cmp.Diff(x, back.Elem().Interface()), "%T", x)
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
	verdicts, err := acid.Judge(ctx, standard(t).Indicators(), 50*mL, 20*mL, 0.005)
	require.NoError(t, err)
	require.False(t, verdicts[len(verdicts)-1].Turns, "one that does not turn is among them")
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
	free, err := titration.KitTest{Bath: mL, Water: 100 * mL, WaterDrops: 12, Drops: 6, PerDrop: 0.0002, Relative: 0.1}.FreeChelant(20000 * mL)
	require.NoError(t, err)
	schemes, err := titration.Titre{}.Schemes(0.05, 0.005, titration.Pipettes(), titration.Burettes(), 0.01)
	require.NoError(t, err)
	for _, x := range []any{equivalents, inflections, buffers, verdicts, readings, line, *fit, free, schemes, titration.Burettes()} {
		require.NotZero(t, x)
		survives(t, x)
	}
}
