package docs

import (
	"encoding/json"
	"fmt"
	"go/ast"
	"go/token"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/examples/internal/docs/probe"
)

const module = "example.com/chelation/"

// exportedTypes returns the exported types of a folder that are not generic.
func exportedTypes(t *testing.T, folder string) []string {
	var out []string
	set, files := parse(t, folder)
	for _, f := range files {
		if strings.HasSuffix(set.Position(f.Pos()).Filename, "_test.go") {
			continue
		}
		for _, d := range f.Decls {
			general, ok := d.(*ast.GenDecl)
			if !ok {
				continue
			}
			for _, spec := range general.Specs {
				if s, ok := spec.(*ast.TypeSpec); ok && s.Name.IsExported() && s.TypeParams == nil {
					out = append(out, s.Name.Name)
				}
			}
		}
	}
	return out
}

// Every exported struct survives JSON and back, and no method of a zero value
// panics. The types are found in the source, and a program made of their names looks
// at them from within.
func TestEveryTypeKeepsItsPromises(t *testing.T) {
	if testing.Short() {
		t.Skip("builds a program")
	}
	var imports, types strings.Builder
	found := 0
	for i, folder := range libraries(t) {
		names := exportedTypes(t, folder)
		if len(names) == 0 {
			continue
		}
		fmt.Fprintf(&imports, "\tp%d %q\n", i, module+room(t, folder))
		for _, name := range names {
			fmt.Fprintf(&types, "\t\treflect.TypeFor[p%d.%s](),\n", i, name)
		}
		found += len(names)
	}
	require.Greater(t, found, 150) // there were 250 when this was written: the search itself works
	program := fmt.Sprintf(`package main

import (
	"encoding/json"
	"os"
	"reflect"

	%q
%s)

func main() {
	if err := json.NewEncoder(os.Stdout).Encode(probe.Check(
%s	)); err != nil {
		panic(err)
	}
}
`, module+"examples/internal/docs/probe", &imports, &types)
	folder, err := os.MkdirTemp(".", "_types") // in the module, and in none of its packages
	require.NoError(t, err)
	t.Cleanup(func() { require.NoError(t, os.RemoveAll(folder)) })
	require.NoError(t, os.WriteFile(filepath.Join(folder, "main.go"), []byte(program), 0o600))
	run := exec.Command("go", "run", "./"+filepath.ToSlash(folder))
	run.Stderr = os.Stderr
	text, err := run.Output()
	require.NoError(t, err)
	var troubles []probe.Trouble
	require.NoError(t, json.Unmarshal(text, &troubles))
	got := map[string]string{}
	for _, x := range troubles {
		got[x.Promise+" "+x.Of] = x.What
	}
	hold(t, "json ", got)
	hold(t, "zero ", got)
}

// The probe finds what it is there to find.
func TestProbe(t *testing.T) {
	got := map[string]bool{}
	for _, x := range probeOwn() {
		got[x.Promise+" "+x.Of] = true
	}
	require.Equal(t, map[string]bool{"json docs.hidden": true, "json docs.handled": true, "zero docs.hidden.Length": true}, got)
}

// The library asks the tables that it is handed and never the standard ones: what is
// read back from JSON means the same whatever tables a program uses.
func TestTablesAreHandedOver(t *testing.T) {
	sources(t, func(path string, set *token.FileSet, f *ast.File) {
		if isTest(path) || strings.Contains(path, "/internal/") {
			return
		}
		ast.Inspect(f, func(n ast.Node) bool {
			if x, ok := n.(*ast.SelectorExpr); ok && x.Sel.Name == "Standard" {
				if from, ok := x.X.(*ast.Ident); ok && from.Name == "tables" {
					t.Errorf("%s reads the standard tables", set.Position(n.Pos()))
				}
			}
			return true
		})
	}, "chem", "tables", "solution")
}
