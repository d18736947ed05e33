package reading

import (
	"math/rand/v2"
	"reflect"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/laws"
	"example.com/chelation/tables"
)

// A zero value says what is missing, and nothing panics.
func TestZeroValues(t *testing.T) {
	for _, zero := range []any{new(Model), new(Posterior)} {
		for name, call := range laws.Methods(zero) {
			var out []reflect.Value
			require.NotPanics(t, func() { out = call() }, name)
			if err, ok := out[len(out)-1].Interface().(error); ok {
				assert.ErrorIs(t, err, chem.ErrInput, name)
			}
		}
	}
	_, err := New(nil, Setup{})
	assert.ErrorIs(t, err, chem.ErrInput)
	_, err = New(standard(t), Setup{})
	assert.ErrorIs(t, err, chem.ErrInput)
	m := model(t, tub(t))
	for _, e := range []Event{nil, Added{}, Read{}, Spoon{}, Read{Strip: tables.Strip{Quantity: "pH"}}} {
		_, err := m.Infer([]Event{e})
		assert.ErrorIs(t, err, chem.ErrInput, "%T", e)
	}
	assert.Zero(t, MeasuringError(m.setup.Amount, tables.Powder)-levelling)
	Misreading(tables.Strip{})
}

// What is returned survives a round trip through JSON, and is finite for that.
func TestThroughJSON(t *testing.T) {
	s := tub(t)
	m := model(t, s)
	p := infer(t, m, Read{strip(t, "universal strip"), 4}, Clarity(true))
	forecast, err := m.Forecast(func(bag, dose float64) float64 { return bag })
	require.NoError(t, err)
	remedies, err := p.Remedies()
	require.NoError(t, err)
	tests, err := p.Tests(strip(t, "pH meter"))
	require.NoError(t, err)
	for _, x := range []any{forecast, advise(t, p), p.Suspects(), remedies, tests} {
		assert.Empty(t, cmp.Diff(x, laws.ThroughJSON(t, x)))
	}
}

// A setup belongs to its model: nothing that a caller holds reaches into it.
func TestSetupIsCopied(t *testing.T) {
	s := tub(t)
	s.Bag = tetrasodium(t)
	s.Extras = []Added{{reagent(t, "sodium gluconate"), amount(t, "20 g")}}
	s = tables.Copy(s) // what the tables hold is not ours to spoil
	m := model(t, s)
	want := m.Setup()
	drawn, _, err := m.Draw(rand.New(rand.NewPCG(1, 1)))
	require.NoError(t, err)
	got := m.Setup()
	for _, x := range []*Setup{&s, &got, &drawn} {
		x.Bag[0].Salt.Groups[0] = "spoiled"
		x.Extras[0].Reagent.Groups[0] = "spoiled"
		x.Water.Ions[0].MolPerLitre = -1
		x.Acid.Groups[0] = "spoiled"
	}
	assert.Empty(t, cmp.Diff(want, m.Setup(), cmp.Exporter(func(reflect.Type) bool { return true })))
}
