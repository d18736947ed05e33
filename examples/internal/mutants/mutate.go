package main

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

// mutant is a source file with one slip in it.
type mutant struct {
	file     string // from the root of the module
	line     int
	was, now string // the line before and after, without indentation
	source   []byte // of the whole file, after
}

func (m mutant) String() string {
	return fmt.Sprintf("%s:%d\n\t- %s\n\t+ %s", m.file, m.line, m.was, m.now)
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

// mutants returns every slip in the Go files of a folder that are not tests.
func mutants(root, folder string) ([]mutant, error) {
	paths, err := filepath.Glob(filepath.Join(root, folder, "*.go"))
	if err != nil {
		return nil, err
	}
	var out []mutant
	for _, path := range paths {
		if strings.HasSuffix(path, "_test.go") {
			continue
		}
		source, err := os.ReadFile(path)
		if err != nil {
			return nil, err
		}
		name, err := filepath.Rel(root, path)
		if err != nil {
			return nil, err
		}
		found, err := slipsIn(name, source)
		if err != nil {
			return nil, err
		}
		out = append(out, found...)
	}
	return out, nil
}

// slipsIn returns every slip in one file.
func slipsIn(name string, source []byte) ([]mutant, error) {
	files := token.NewFileSet()
	tree, err := parser.ParseFile(files, name, source, parser.SkipObjectResolution)
	if err != nil {
		return nil, err
	}
	var out []mutant
	slip := func(at token.Pos, length int, text string) {
		place := files.Position(at)
		after := bytes.Join([][]byte{source[:place.Offset], []byte(text), source[place.Offset+length:]}, nil)
		out = append(out, mutant{name, place.Line, lineAt(source, place.Offset), lineAt(after, place.Offset), after})
	}
	operator := func(at token.Pos, was token.Token) {
		for _, now := range slips[was] {
			slip(at, len(was.String()), now.String())
		}
	}
	idle := map[ast.Node]bool{} // numbers that nobody looks at
	ast.Inspect(tree, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.ReturnStmt: // what stands beside an error
			if last := len(n.Results) - 1; last > 0 && isError(n.Results[last]) {
				for _, x := range n.Results[:last] {
					idle[x] = true
				}
			}
		case *ast.CallExpr: // of infinity the sign alone
			if f, ok := n.Fun.(*ast.SelectorExpr); ok && f.Sel.Name == "Inf" && len(n.Args) == 1 {
				idle[n.Args[0]] = true
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
			if now, ok := names[n.Name]; ok {
				slip(n.Pos(), len(n.Name), now)
			}
		case *ast.UnaryExpr:
			if n.Op == token.NOT || n.Op == token.SUB {
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
	return out, nil
}

// isError recognises err and an error made on the spot.
func isError(x ast.Expr) bool {
	if id, ok := x.(*ast.Ident); ok {
		return id.Name == "err"
	}
	made, ok := x.(*ast.UnaryExpr)
	return ok && made.Op == token.AND
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
