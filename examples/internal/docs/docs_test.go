// Package docs holds the library to its word, by reading its source: every exported
// name is explained, imports run downwards, every type keeps its promises at the
// boundary, functions are short and names are not shadowed. Each test finds its
// subjects by itself, and none may fall short.
package docs

import (
	"go/ast"
	"go/doc"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// libraries returns the folders of the library's packages, those that others can
// import.
func libraries(t *testing.T) []string {
	root := filepath.Join("..", "..", "..")
	var out []string
	for _, top := range []string{"chem", "tables", "solution"} {
		err := filepath.WalkDir(filepath.Join(root, top), func(path string, d fs.DirEntry, err error) error {
			if err != nil {
				return err
			}
			if !d.IsDir() {
				return nil
			}
			if name := d.Name(); name == "internal" || name == "testdata" || name == "data" {
				return filepath.SkipDir
			}
			sources, err := filepath.Glob(filepath.Join(path, "*.go"))
			if len(sources) > 0 {
				out = append(out, path)
			}
			return err
		})
		require.NoError(t, err)
	}
	require.Greater(t, len(out), 6)
	return out
}

func parse(t *testing.T, folder string) (*token.FileSet, []*ast.File) {
	set := token.NewFileSet()
	names, err := filepath.Glob(filepath.Join(folder, "*.go"))
	require.NoError(t, err)
	var files []*ast.File
	for _, name := range names {
		f, err := parser.ParseFile(set, name, nil, parser.ParseComments)
		require.NoError(t, err)
		files = append(files, f)
	}
	return set, files
}

func TestEveryExportIsExplained(t *testing.T) {
	for _, folder := range libraries(t) {
		set, files := parse(t, folder)
		own := files[:0:0]
		for _, f := range files {
			if !strings.HasSuffix(f.Name.Name, "_test") {
				own = append(own, f)
			}
		}
		p, err := doc.NewFromFiles(set, own, folder)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, len(p.Doc), 200, "%s: want an overview that reads as a lesson", folder)
		missing := func(name string) { t.Errorf("%s: %s is not explained", folder, name) }
		values := func(all []*doc.Value) {
			for _, v := range all {
				for _, spec := range v.Decl.Specs {
					s := spec.(*ast.ValueSpec)
					for _, name := range s.Names {
						if name.IsExported() && v.Doc == "" && s.Doc == nil && s.Comment == nil {
							missing(name.Name)
						}
					}
				}
			}
		}
		functions := func(prefix string, all []*doc.Func) {
			for _, f := range all {
				if f.Doc == "" && f.Name != "Error" && f.Name != "String" && f.Name != "Unwrap" {
					missing(prefix + f.Name)
				}
			}
		}
		values(p.Consts)
		values(p.Vars)
		functions("", p.Funcs)
		for _, typ := range p.Types {
			if typ.Doc == "" {
				missing(typ.Name)
			}
			values(typ.Consts)
			values(typ.Vars)
			functions("", typ.Funcs)
			functions(typ.Name+".", typ.Methods)
			for _, spec := range typ.Decl.Specs {
				s, ok := spec.(*ast.TypeSpec).Type.(*ast.StructType)
				if !ok {
					continue
				}
				if set.Position(s.Fields.Opening).Line == set.Position(s.Fields.Closing).Line {
					continue // fields on the line of the type: its comment is theirs
				}
				explained := false // by a comment above a run of fields
				line := 0
				for _, field := range s.Fields.List {
					at := set.Position(field.Pos()).Line
					if field.Doc != nil || at != line+1 {
						explained = field.Doc != nil
					}
					line = set.Position(field.End()).Line
					for _, name := range field.Names {
						// A name for JSON carries the unit and is shown by go doc.
						told := explained || field.Comment != nil || field.Tag != nil || strings.Contains(typ.Doc, name.Name) || plain[name.Name]
						if name.IsExported() && !told {
							missing(typ.Name + "." + name.Name)
						}
					}
				}
			}
		}
	}
}

// plain names of fields say all there is to say.
var plain = map[string]bool{
	"Low": true, "Typical": true, "High": true, "Input": true, "Want": true, "Value": true, "Name": true, "Synonyms": true, "Species": true, "Sources": true, "Note": true, "Reaction": true, "Formula": true, "ID": true, "Reagent": true,
}

func TestEveryPackageHasAnExample(t *testing.T) {
	for _, folder := range libraries(t) {
		_, files := parse(t, folder)
		assert.NotEmpty(t, doc.Examples(files...), "%s: want a runnable example", folder)
	}
}
