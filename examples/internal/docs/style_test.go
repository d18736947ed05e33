package docs

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// sources calls look for every Go file of the root module below the tops.
func sources(t *testing.T, look func(path string, set *token.FileSet, f *ast.File), tops ...string) {
	t.Helper()
	root := filepath.Join("..", "..", "..")
	set := token.NewFileSet()
	seen := 0
	for _, top := range tops {
		err := filepath.WalkDir(filepath.Join(root, top), func(path string, d fs.DirEntry, err error) error {
			if err != nil {
				return err
			}
			if d.IsDir() {
				own, err := filepath.Glob(filepath.Join(path, "go.mod"))
				if d.Name() == "testdata" || len(own) > 0 {
					return filepath.SkipDir
				}
				return err
			}
			if filepath.Ext(path) != ".go" {
				return nil
			}
			f, err := parser.ParseFile(set, path, nil, parser.SkipObjectResolution)
			if err != nil {
				return err
			}
			seen++
			look(room(t, path), set, f)
			return nil
		})
		require.NoError(t, err)
	}
	require.Greater(t, seen, 50)
}

func isTest(path string) bool { return strings.HasSuffix(path, "_test.go") }

// longest is the number of lines that a function of the library may have.
const longest = 80

func TestFunctionsAreShort(t *testing.T) {
	got := map[string]string{}
	sources(t, func(path string, set *token.FileSet, f *ast.File) {
		if isTest(path) {
			return
		}
		for _, d := range f.Decls {
			if function, ok := d.(*ast.FuncDecl); ok {
				if n := set.Position(d.End()).Line - set.Position(d.Pos()).Line + 1; n > longest {
					got["long "+path+" "+function.Name.Name] = fmt.Sprintf("has %d lines", n)
				}
			}
		}
	}, "chem", "tables", "solution")
	hold(t, "long ", got)
}

// declared calls with each name that a file declares inside of functions.
func declared(f *ast.File, with func(*ast.Ident)) {
	all := func(names ...ast.Expr) {
		for _, n := range names {
			if name, ok := n.(*ast.Ident); ok {
				with(name)
			}
		}
	}
	fields := func(lists ...*ast.FieldList) {
		for _, l := range lists {
			if l != nil {
				for _, field := range l.List {
					for _, n := range field.Names {
						with(n)
					}
				}
			}
		}
	}
	for _, d := range f.Decls {
		function, ok := d.(*ast.FuncDecl)
		if !ok {
			continue
		}
		fields(function.Recv)
		ast.Inspect(function, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.FuncType:
				fields(n.Params, n.Results)
			case *ast.AssignStmt:
				if n.Tok == token.DEFINE {
					all(n.Lhs...)
				}
			case *ast.RangeStmt:
				if n.Tok == token.DEFINE {
					all(n.Key, n.Value)
				}
			case *ast.ValueSpec:
				for _, name := range n.Names {
					with(name)
				}
			}
			return true
		})
	}
}

// importedNames are the names by which a file calls its imports.
func importedNames(f *ast.File) map[string]bool {
	out := map[string]bool{}
	for _, x := range f.Imports {
		parts := strings.Split(strings.Trim(x.Path.Value, `"`), "/")
		name := parts[len(parts)-1]
		if len(name) > 1 && name[0] == 'v' && strings.Trim(name[1:], "0123456789") == "" {
			name = parts[len(parts)-2]
		}
		if x.Name != nil {
			name = x.Name.Name
		}
		out[name] = name != "_"
	}
	return out
}

// No parameter and no local has the name of an import of its file, and no variable
// is called error.
func TestNamesAreNotShadowed(t *testing.T) {
	got := map[string]string{}
	sources(t, func(path string, set *token.FileSet, f *ast.File) {
		if isTest(path) {
			return
		}
		imports := importedNames(f)
		declared(f, func(name *ast.Ident) {
			if name.Name != "_" && imports[name.Name] || name.Name == "error" {
				got["shadow "+path+" "+name.Name] = fmt.Sprintf("line %d", set.Position(name.Pos()).Line)
			}
		})
	}, "chem", "tables", "solution", "examples")
	hold(t, "shadow ", got)
}

// A benchmark is run by its name over the whole module, so each has its own.
func TestBenchmarkNamesOccurOnce(t *testing.T) {
	seen, got := map[string]string{}, map[string]string{}
	sources(t, func(path string, _ *token.FileSet, f *ast.File) {
		for _, d := range f.Decls {
			function, ok := d.(*ast.FuncDecl)
			if !ok || !isTest(path) || !strings.HasPrefix(function.Name.Name, "Benchmark") {
				continue
			}
			if first := seen[function.Name.Name]; first != "" {
				got["twice "+function.Name.Name] = first + " and " + path
			}
			seen[function.Name.Name] = path
		}
	}, "chem", "tables", "solution", "examples")
	require.NotEmpty(t, seen)
	hold(t, "twice ", got)
}
