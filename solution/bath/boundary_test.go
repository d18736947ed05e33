package bath_test

import (
	"encoding/json"
	"errors"
	"reflect"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/internal/laws"
	"example.com/chelation/tables"
)

// What a bath answers survives JSON.
func TestAnswersSurviveJSON(t *testing.T) {
	b, o, acid := demo.Mix(t, demo.Recipe(t)), demo.Oxide(t, "lepidocrocite"), demo.Reagent(t, "citric acid")
	require.NoError(t, b.Dissolve(o, 45*measure.Gram))
	var answers []any
	keep := func(x any, err error) {
		require.NoError(t, err)
		answers = append(answers, x)
	}
	c, err := b.Capacities(o, 7)
	keep(c, err)
	l, err := b.Limit(o, 7)
	keep(l, err)
	d, err := b.Diagnose(o, 7, acid)
	keep(d, err)
	require.NotNil(t, d.Remedy)
	p, err := b.Drift(o, 2)
	keep(p, err)
	u, err := b.Upkeep(acid, o, 7, 0.5)
	keep(u, err)
	r, err := b.Redox()
	keep(r, err)
	keep(o, nil)
	for _, x := range answers {
		require.Equal(t, x, laws.ThroughJSON(t, x))
	}
	// Upkeep needs nothing that JSON loses, and says whose acid it means.
	before, err := u.Parts(acid, 2*measure.Gram)
	require.NoError(t, err)
	text, err := json.Marshal(u)
	require.NoError(t, err)
	var again bath.Upkeep
	require.NoError(t, json.Unmarshal(text, &again))
	after, err := again.Parts(acid, 2*measure.Gram)
	require.NoError(t, err)
	require.Equal(t, before, after)
	_, err = again.Parts(demo.Reagent(t, "vinegar"), 2*measure.Gram)
	require.ErrorIs(t, err, chem.ErrInput)
}

// A bath that nobody made, and zero arguments to one that somebody did, give errors
// and leave it as it was.
func TestZeroValues(t *testing.T) {
	vessel := reflect.TypeFor[*solution.Solution]()
	made := demo.Mix(t, demo.Recipe(t))
	litres := made.Litres()
	for _, b := range []*bath.Bath{{}, made} {
		for name, call := range laws.Methods(b) {
			if _, promoted := vessel.MethodByName(name); promoted && name != "Clone" {
				continue // the vessel's own matter
			}
			out := call()
			err, fails := out[len(out)-1].Interface().(error)
			if b != made && out[len(out)-1].Type() == reflect.TypeFor[error]() {
				require.True(t, fails, name)
			}
			if fails && !errors.Is(err, tables.ErrNotFound) {
				require.ErrorIs(t, err, chem.ErrInput, name)
			}
		}
	}
	require.Equal(t, litres, made.Litres())
	_, err := bath.New(nil, nil)
	require.ErrorIs(t, err, chem.ErrInput)
	_, err = bath.New(demo.Tables(t), &solution.Solution{})
	require.ErrorIs(t, err, chem.ErrInput)
	_, err = bath.Upkeep{}.Parts(tables.Reagent{}, measure.Gram)
	require.ErrorIs(t, err, chem.ErrInput)
	require.Empty(t, bath.HoldingsOf(&solution.State{}))
	require.Zero(t, bath.Holdings{}.Counted().Of("edta4-"))
}
