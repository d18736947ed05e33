// Package laws is what the tests of all rooms ask of their exported types: what they return
// survives JSON, and no method panics on zero values.
package laws

import (
	"context"
	"encoding/json"
	"iter"
	"reflect"
	"testing"

	"github.com/stretchr/testify/require"
)

// ThroughJSON returns what comes back when a value is written as JSON and read.
func ThroughJSON(t testing.TB, x any) any {
	t.Helper()
	text, err := json.Marshal(x)
	require.NoError(t, err, "%T", x)
	back := reflect.New(reflect.TypeOf(x))
	require.NoError(t, json.Unmarshal(text, back.Interface()), "%T", x)
	return back.Elem().Interface()
}

// Methods gives the exported methods of a value, each with a call on zero arguments and a context
// that does not end.
func Methods(x any) iter.Seq2[string, func() []reflect.Value] {
	return func(yield func(string, func() []reflect.Value) bool) {
		for m, v := range reflect.ValueOf(x).Methods() {
			if !yield(m.Name, func() []reflect.Value { return call(v) }) {
				return
			}
		}
	}
}

func call(m reflect.Value) []reflect.Value {
	var in []reflect.Value
	for t := range m.Type().Ins() {
		zero := reflect.Zero(t)
		if t == reflect.TypeFor[context.Context]() {
			zero = reflect.ValueOf(context.Background())
		}
		in = append(in, zero)
	}
	if m.Type().IsVariadic() {
		return m.CallSlice(in)
	}
	return m.Call(in)
}
