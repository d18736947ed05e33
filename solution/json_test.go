package solution

import (
	"encoding/json"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/solution/internal/laws"
)

// What a vessel answers survives JSON.
func TestStructsSurviveJSON(t *testing.T) {
	s, acid := tub(t), reagent(t, "citric acid, anhydrous")
	require.NoError(t, s.AddSpecies("Fe(OH)3(s, ferrihydrite)", 0.5))
	require.NoError(t, s.Add(reagent(t, "lye"), 4))
	dose, err := s.Dose(acid, PH(7))
	require.NoError(t, err)
	state, _, err := s.Response(acid)
	require.NoError(t, err)
	require.NotEmpty(t, state.Warnings)
	uncertainty, err := s.Uncertainty(PH(0))
	require.NoError(t, err)
	_, err = s.Dose(acid, PH(16))
	var far *UnreachableError
	require.ErrorAs(t, err, &far)
	open, err := s.OpenDose(acid, 7)
	require.NoError(t, err)
	for _, x := range []any{
		dose, open, open.Target, uncertainty, uncertainty.Parts[0], *far, NewPortion(acid, 0.1),
		*state, state.Species[0], state.Species[0].Made[0], state.Solids[0], state.Components[0], state.Warnings[0], distribution(t, state, "edta4-")[0],
		Surroundings{Temperature: 298.15, IonicStrength: 0.1, Free: map[string]float64{"Na+": 0.1}},
	} {
		assert.Empty(t, cmp.Diff(x, laws.ThroughJSON(t, x), cmpopts.IgnoreUnexported(State{})), "%T", x)
	}
}

// A state read from JSON has no tables, and finds what is listed in it.
func TestLookUpInAStateReadBack(t *testing.T) {
	s := tub(t)
	require.NoError(t, s.AddSpecies("FeOOH(s, goethite)", 0.1))
	st := equilibrate(t, s)
	text, err := json.Marshal(st)
	require.NoError(t, err)
	var back State
	require.NoError(t, json.Unmarshal(text, &back))
	assert.Equal(t, concentration(t, st, "Ca2+"), concentration(t, &back, "Ca^2+"))
	assert.Equal(t, distribution(t, st, "edta4-"), distribution(t, &back, "edta4-"))
	_, err = back.Concentration("bicarbonat")
	assert.ErrorContains(t, err, `species is "bicarbonat": want one listed`)
	_, err = back.Distribution("Pb2+")
	assert.Error(t, err)
}
