package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"slices"
	"strings"
)

// switchboard is the file that a room gets beside its own: which slip is on.
const switchboard = `package %s

import (
	"os"
	"strconv"
)

var slipOn, _ = strconv.Atoi(os.Getenv("SLIP"))

func slipPick[T any](n int, right, wrong T) T {
	if n == slipOn {
		return wrong
	}
	return right
}
`

// edit puts text in the place of what stands between two offsets.
type edit struct {
	from, to int
	text     string
}

// edited returns source from offset on, up to end, with the edits in it.
func edited(source []byte, from, end int, edits ...edit) string {
	slices.SortStableFunc(edits, func(a, b edit) int { return a.from - b.from })
	var out strings.Builder
	for _, e := range edits {
		out.Write(source[from:e.from])
		out.WriteString(e.text)
		from = e.to
	}
	out.Write(source[from:end])
	return out.String()
}

// weave returns a file in which each of its slips waits behind its number. A function
// with slips calls a copy of itself, which has one; a variable picks one of two values.
// What the compiler has to say of a slip it says of line slip<number>.
func weave(source []byte, slips []mutant) (string, error) {
	files := token.NewFileSet()
	tree, err := parser.ParseFile(files, "", source, parser.SkipObjectResolution)
	if err != nil {
		return "", err
	}
	offset := func(p token.Pos) int { return files.Position(p).Offset }
	var edits []edit
	var copies strings.Builder
	for _, m := range slips {
		if m.constant { // alone
			edits = append(edits, m.edit)
		}
	}
	ast.Inspect(tree, func(n ast.Node) bool {
		if g, ok := n.(*ast.GenDecl); ok && g.Tok == token.CONST {
			return false
		}
		f, function := n.(*ast.FuncDecl)
		v, variable := n.(*ast.ValueSpec)
		switch {
		case function && f.Body != nil:
			call, named := forward(f, offset)
			gates := ""
			for _, m := range within(slips, offset(f.Body.Lbrace), offset(f.End())) {
				name := fmt.Sprintf("slip%d%s", m.number, f.Name.Name)
				fmt.Fprintf(&copies, "\n//line slip%d:1\n%s\n", m.number, edited(source, offset(f.Pos()), offset(f.End()), edit{offset(f.Name.Pos()), offset(f.Name.End()), name}, m.edit))
				gates += fmt.Sprintf("if slipOn == %d { %s }; ", m.number, strings.Replace(call, "·", name, 1))
			}
			if gates != "" {
				edits = append(append(edits, named...), edit{offset(f.Body.Lbrace) + 1, offset(f.Body.Lbrace) + 1, gates})
			}
			return false
		case variable:
			for _, x := range v.Values {
				typed := ""
				if v.Type != nil {
					typed = "[" + string(source[offset(v.Type.Pos()):offset(v.Type.End())]) + "]"
				}
				from, to := offset(x.Pos()), offset(x.End())
				was := string(source[from:to])
				now := was
				for _, m := range within(slips, from, to) {
					now = fmt.Sprintf("slipPick%s(%d, %s, /*line slip%d:1:1*/%s)", typed, m.number, now, m.number, edited(source, from, to, m.edit))
				}
				if now != was {
					edits = append(edits, edit{from, to, now})
				}
			}
			return false
		}
		return true
	})
	return edited(source, 0, len(source), edits...) + copies.String(), nil
}

// within are the slips between two offsets.
func within(slips []mutant, from, to int) []mutant {
	return slices.DeleteFunc(slices.Clone(slips), func(m mutant) bool { return m.edit.from < from || m.edit.to > to })
}

// forward is the statement with which a function calls the copy · of itself, and
// the names that its parameters need for that.
func forward(f *ast.FuncDecl, offset func(token.Pos) int) (string, []edit) {
	var edits []edit
	list := func(fields *ast.FieldList) string {
		var names []string
		if fields == nil {
			return ""
		}
		for _, field := range fields.List {
			dots := ""
			if _, ok := field.Type.(*ast.Ellipsis); ok {
				dots = "..."
			}
			if field.Names == nil {
				at := offset(field.Type.Pos())
				names = append(names, fmt.Sprint("slip", at, dots))
				edits = append(edits, edit{at, at, fmt.Sprint("slip", at, " ")})
			}
			for _, id := range field.Names {
				if id.Name == "_" {
					at := offset(id.Pos())
					id.Name = fmt.Sprint("slip", at)
					edits = append(edits, edit{at, at + 1, id.Name})
				}
				names = append(names, id.Name+dots)
			}
		}
		return strings.Join(names, ", ")
	}
	call := "·"
	if f.Recv != nil {
		call = list(f.Recv) + ".·"
	}
	if types := list(f.Type.TypeParams); types != "" {
		call += "[" + types + "]"
	}
	call += "(" + list(f.Type.Params) + ")"
	if f.Type.Results != nil {
		return "return " + call, edits
	}
	return call + "; return", edits
}
