package main

import (
	"bytes"
	_ "embed"
	"encoding/csv"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// mutant is a slip in a source file.
type mutant struct {
	file     string // from the root of the module
	line     int
	was, now string // the line before and after, without indentation
	source   []byte // of the whole file, before
	edit     edit
	room     string // name of its package
	constant bool   // it stands in a constant of the package
	number   int    // in the room
}

func (m mutant) String() string {
	return fmt.Sprintf("%s:%d\n\t- %s\n\t+ %s", m.file, m.line, m.was, m.now)
}

// change is the slip that puts text in the place of what stands between two offsets.
func change(name string, source []byte, tree *ast.File, from, to int, text string) mutant {
	after := bytes.Join([][]byte{source[:from], []byte(text), source[to:]}, nil)
	constant := slices.ContainsFunc(tree.Decls, func(d ast.Decl) bool {
		g, ok := d.(*ast.GenDecl)
		return ok && g.Tok == token.CONST && int(g.Pos()-tree.FileStart) <= from && to <= int(g.End()-tree.FileStart)
	})
	return mutant{
		file: name, line: 1 + bytes.Count(source[:from], []byte("\n")), was: lineAt(source, from), now: lineAt(after, from),
		source: source, edit: edit{from, to, text}, room: tree.Name.Name, constant: constant,
	}
}

// slips are the operators that a hand or a head confuses. Where the result does
// not compile it is no mutant.
var slips = map[token.Token][]token.Token{
	token.LSS: {token.LEQ, token.GEQ}, token.LEQ: {token.LSS, token.GTR},
	token.GTR: {token.GEQ, token.LEQ}, token.GEQ: {token.GTR, token.LSS},
	token.EQL: {token.NEQ}, token.NEQ: {token.EQL},
	token.ADD: {token.SUB}, token.SUB: {token.ADD}, token.MUL: {token.QUO}, token.QUO: {token.MUL},
	token.LAND: {token.LOR}, token.LOR: {token.LAND},
	token.ADD_ASSIGN: {token.SUB_ASSIGN}, token.SUB_ASSIGN: {token.ADD_ASSIGN},
	token.MUL_ASSIGN: {token.QUO_ASSIGN}, token.QUO_ASSIGN: {token.MUL_ASSIGN},
	token.INC: {token.DEC}, token.DEC: {token.INC}, token.BREAK: {token.CONTINUE}, token.CONTINUE: {token.BREAK},
}

// names that stand for one another.
var names = map[string]string{"min": "max", "max": "min", "true": "false", "false": "true", "Floor": "Ceil", "Ceil": "Floor"}

//go:embed equivalent.csv
var equivalents string

//go:embed named.csv
var escaped string

// mutants returns every slip in the Go files of a folder that are not tests, or those of named.csv alone.
func mutants(root, folder string, named bool) ([]mutant, error) {
	paths, err := filepath.Glob(filepath.Join(root, folder, "*.go"))
	var out []mutant
	for _, path := range paths {
		if strings.HasSuffix(path, "_test.go") {
			continue
		}
		source, err := os.ReadFile(path)
		if err != nil {
			return nil, err
		}
		name := folder + "/" + filepath.Base(path)
		tree, err := parser.ParseFile(token.NewFileSet(), name, source, parser.SkipObjectResolution)
		if err != nil {
			return nil, err
		}
		if !named {
			out = append(out, slipsIn(name, source, tree)...)
			continue
		}
		for _, row := range rows(escaped) {
			if row[0] != name {
				continue
			}
			from := bytes.Index(source, []byte("\t"+row[1]+"\n")) + 1
			if from == 0 {
				return nil, fmt.Errorf("%s has no line %q", name, row[1])
			}
			out = append(out, change(name, source, tree, from, from+len(row[1]), row[2]))
		}
	}
	for i := range out {
		out[i].number = i + 1
	}
	return out, err
}

// rows are those of one of the files beside this one, without their heading.
func rows(text string) [][]string {
	out, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		panic(err) // it is compiled in, and a test reads it
	}
	return out[1:]
}

// known tells whether a slip is said to change nothing that can be asked.
func (m mutant) known() bool {
	return slices.ContainsFunc(rows(equivalents), func(row []string) bool { return slices.Equal(row[:3], []string{m.file, m.was, m.now}) })
}

// slipsIn returns every slip in one file.
func slipsIn(name string, source []byte, tree *ast.File) []mutant {
	var out []mutant
	slip := func(at token.Pos, length int, text string) {
		from := int(at - tree.FileStart)
		out = append(out, change(name, source, tree, from, from+length, text))
	}
	operator := func(at token.Pos, was token.Token) {
		for _, now := range slips[was] {
			slip(at, len(was.String()), now.String())
		}
	}
	idle := map[ast.Node]bool{}         // numbers that nobody looks at
	bare := func(x ast.Expr) ast.Expr { // without its sign
		if sign, ok := x.(*ast.UnaryExpr); ok {
			return sign.X
		}
		return x
	}
	ast.Inspect(tree, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.ReturnStmt: // what stands beside an error
			if last := len(n.Results) - 1; last > 0 && isError(n.Results[last]) {
				for _, x := range n.Results[:last] {
					idle[x], idle[bare(x)] = true, true
				}
			}
		case *ast.CallExpr: // of infinity the sign alone
			if f, ok := n.Fun.(*ast.SelectorExpr); ok && strings.HasSuffix(f.Sel.Name, "Inf") && len(n.Args) > 0 {
				last := bare(n.Args[len(n.Args)-1])
				lit, ok := last.(*ast.BasicLit)
				idle[last] = ok && lit.Value != "0" // of either sign
			}
		case *ast.GenDecl:
			return n.Tok != token.IMPORT
		case *ast.Field: // a tag is not a number, a type not an expression
			return false
		case *ast.BinaryExpr:
			operator(n.OpPos, n.Op)
		case *ast.AssignStmt:
			operator(n.TokPos, n.Tok)
		case *ast.IncDecStmt:
			operator(n.TokPos, n.Tok)
		case *ast.BranchStmt:
			operator(n.TokPos, n.Tok)
		case *ast.Ident:
			if now, ok := names[n.Name]; ok && !idle[n] {
				slip(n.Pos(), len(n.Name), now)
			}
		case *ast.UnaryExpr:
			if (n.Op == token.NOT || n.Op == token.SUB) && !idle[n] {
				slip(n.OpPos, 1, "")
			}
		case *ast.ExprStmt: // a call forgotten
			slip(n.Pos(), int(n.End()-n.Pos()), "")
		case *ast.BasicLit:
			for _, now := range wrong(n) {
				if !idle[n] {
					slip(n.Pos(), len(n.Value), now)
				}
			}
		}
		return true
	})
	return out
}

// isError recognises err and an error made on the spot.
func isError(x ast.Expr) bool {
	switch x := x.(type) {
	case *ast.Ident:
		return x.Name == "err"
	case *ast.UnaryExpr:
		return x.Op == token.AND
	case *ast.CallExpr:
		f, ok := x.Fun.(*ast.SelectorExpr)
		return ok && (f.Sel.Name == "Err" || strings.Contains(strings.ToLower(f.Sel.Name), "error"))
	}
	return false
}

// wrong are numbers that a number is mistaken for: one more, a tenth more.
func wrong(n *ast.BasicLit) []string {
	switch n.Kind {
	case token.INT:
		if k, err := strconv.ParseInt(n.Value, 0, 64); err == nil {
			return []string{strconv.FormatInt(k+1, 10)}
		}
	case token.FLOAT:
		if x, err := strconv.ParseFloat(n.Value, 64); err == nil {
			return []string{strconv.FormatFloat(1.1*x, 'g', -1, 64)}
		}
	}
	return nil
}

// lineAt is the line that holds an offset.
func lineAt(source []byte, offset int) string {
	from := bytes.LastIndexByte(source[:offset], '\n') + 1
	to := len(source)
	if i := bytes.IndexByte(source[offset:], '\n'); i >= 0 {
		to = offset + i
	}
	return strings.TrimSpace(string(source[from:to]))
}
