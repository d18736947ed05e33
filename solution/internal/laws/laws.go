// Package laws is what the tests of all rooms ask of their exported types: what
// they return survives JSON, and no method panics on zero values.
package laws

import (
	"context"
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"iter"
	"path/filepath"
	"reflect"
	"strings"
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

// Structs lists the exported structs of the package under test, from its source.
func Structs(t testing.TB) []string {
	t.Helper()
	files, err := filepath.Glob("*.go")
	require.NoError(t, err)
	var names []string
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		require.NoError(t, err)
		ast.Inspect(file, func(n ast.Node) bool {
			if spec, ok := n.(*ast.TypeSpec); ok && spec.Name.IsExported() {
				if _, ok := spec.Type.(*ast.StructType); ok {
					names = append(names, spec.Name.Name)
				}
			}
			return true
		})
	}
	require.NotEmpty(t, names)
	return names
}

// Methods gives the exported methods of a value, each with a call that hands it
// zero arguments and, for a context, one that does not end.
func Methods(x any) iter.Seq2[string, func() []reflect.Value] {
	v := reflect.ValueOf(x)
	return func(yield func(string, func() []reflect.Value) bool) {
		for i := range v.NumMethod() {
			if !yield(v.Type().Method(i).Name, func() []reflect.Value { return call(v.Method(i)) }) {
				return
			}
		}
	}
}

func call(m reflect.Value) []reflect.Value {
	var in []reflect.Value
	for k := range m.Type().NumIn() {
		zero := reflect.Zero(m.Type().In(k))
		if zero.Type() == reflect.TypeFor[context.Context]() {
			zero = reflect.ValueOf(context.Background())
		}
		in = append(in, zero)
	}
	if m.Type().IsVariadic() {
		return m.CallSlice(in)
	}
	return m.Call(in)
}
