package solution

import (
	"encoding/json"
	"reflect"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every public result survives JSON, under names that carry units.
func TestResultsSurviveJSON(t *testing.T) {
	s, acid := tub(t), reagent(t, "citric acid, anhydrous")
	dose, err := s.Dose(acid, PH(7))
	require.NoError(t, err)
	state, response, err := s.Response(acid)
	require.NoError(t, err)
	uncertainty, err := s.Uncertainty(PH(0))
	require.NoError(t, err)
	uncertainty.Parts = uncertainty.Parts[:2]
	around := Surroundings{Temperature: 298.15, IonicStrength: 0.1, Free: map[string]float64{"Na+": 0.1}}
	for _, x := range []any{dose, *state, response, uncertainty, around, dose.Target} {
		text, err := json.Marshal(x)
		require.NoError(t, err, "%T", x)
		back := reflect.New(reflect.TypeOf(x))
		require.NoError(t, json.Unmarshal(text, back.Interface()), "%T", x)
		again, err := json.Marshal(back.Elem().Interface())
		require.NoError(t, err)
		assert.JSONEq(t, string(text), string(again), "%T", x)
		assert.Empty(t, cmp.Diff(x, back.Elem().Interface(), cmpopts.IgnoreUnexported(State{})), "%T", x)
	}
}
