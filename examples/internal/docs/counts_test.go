package docs

import (
	"go/ast"
	"go/token"
	"maps"
	"path"
	"slices"
	"strings"
	"testing"
)

// size is what a room has grown to.
type size struct{ lines, names int }

// exported counts the exported names of a declaration: types with their fields and
// methods, functions, constants, variables.
func exported(d ast.Decl) int {
	n := 0
	count := func(names ...*ast.Ident) {
		for _, x := range names {
			if x.IsExported() {
				n++
			}
		}
	}
	switch d := d.(type) {
	case *ast.FuncDecl:
		if d.Recv != nil {
			receiver := d.Recv.List[0].Type
			if p, ok := receiver.(*ast.StarExpr); ok {
				receiver = p.X
			}
			if p, ok := receiver.(*ast.IndexExpr); ok {
				receiver = p.X
			}
			if of, ok := receiver.(*ast.Ident); ok && !of.IsExported() {
				return 0
			}
		}
		count(d.Name)
	case *ast.GenDecl:
		for _, spec := range d.Specs {
			switch s := spec.(type) {
			case *ast.ValueSpec:
				count(s.Names...)
			case *ast.TypeSpec:
				if !s.Name.IsExported() {
					continue
				}
				n++
				switch of := s.Type.(type) {
				case *ast.StructType:
					for _, field := range of.Fields.List {
						count(field.Names...)
					}
				case *ast.InterfaceType:
					for _, method := range of.Methods.List {
						count(method.Names...)
					}
				}
			}
		}
	}
	return n
}

// Prints, with -v, lines without tests and exported names of every room.
func TestCounts(t *testing.T) {
	rooms := map[string]size{}
	var all size
	sources(t, func(file string, set *token.FileSet, f *ast.File) {
		if isTest(file) {
			return
		}
		own := size{lines: set.File(f.FileStart).LineCount()}
		if !strings.Contains(file, "/internal/") {
			for _, d := range f.Decls {
				own.names += exported(d)
			}
		}
		r := rooms[path.Dir(file)]
		rooms[path.Dir(file)] = size{r.lines + own.lines, r.names + own.names}
		all = size{all.lines + own.lines, all.names + own.names}
	}, "chem", "tables", "solution")
	for _, name := range slices.Sorted(maps.Keys(rooms)) {
		t.Logf("%-40s %6d lines %5d exported names", name, rooms[name].lines, rooms[name].names)
	}
	t.Logf("%-40s %6d lines %5d exported names", "all", all.lines, all.names)
}
