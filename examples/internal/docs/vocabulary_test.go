package docs

import (
	"encoding/csv"
	"flag"
	"go/ast"
	"go/token"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var updateVocabulary = flag.Bool("update", false, "write the types of examples/vocabulary.csv anew, in order and without keys that are gone")

// whole holds every room to the vocabulary, as CI does; in daily work those that plan and
// advise are, so that a new word elsewhere does not stand in the way of what it is for.
var whole = flag.Bool("whole", false, "hold every room to examples/vocabulary.csv")

var held = regexp.MustCompile(`^(chem/measure|solution/(care|recipe)|examples/(bath|capacity|compare|diptime|dispose|neutralise|parts|spentbath|tables|titrate|tub|validation))/`)

// vocabularyFile lists every key that library and programs write in JSON, and every
// head of a column in CSV, with type, unit and meaning.
var vocabularyFile = filepath.Join("..", "..", "vocabulary.csv")

// texts and numbers are types that marshal as such, whatever they are made of. A number
// may be told as a range or with its uncertainty.
var marshals = map[string]string{
	"chem.Formula": "text", "chem.Species": "text", "chem.Reaction": "text", "recipe.Price": "text", "time.Time": "text", "json.RawMessage": "any",
	"unit.Mass": "number", "unit.Temperature": "number", "tables.Range": "number", "reading.Figure": "number", "titration.Result": "number",
}

// writer finds what is written, in all packages.
type writer struct {
	kinds map[string]string   // of named types: chem.Formula to text
	keys  map[string][]string // the kinds of each key
	held  map[string]bool     // keys of the rooms that are held
	file  string              // that is read
}

// kind tells what a type is in JSON.
func (w *writer) kind(pkg string, e ast.Expr) string {
	switch e := e.(type) {
	case *ast.StarExpr:
		return w.kind(pkg, e.X)
	case *ast.ArrayType:
		if w.kind(pkg, e.Elt) == "number" {
			return "number" // several of them
		}
		return "list"
	case *ast.MapType:
		return "map"
	case *ast.StructType, *ast.IndexExpr:
		return "object"
	case *ast.InterfaceType:
		return "any"
	case *ast.SelectorExpr:
		return w.named(e.X.(*ast.Ident).Name + "." + e.Sel.Name)
	case *ast.Ident:
		switch e.Name {
		case "string", "byte":
			return "text"
		case "bool":
			return "flag"
		case "float64", "int", "int64", "uint64":
			return "number"
		case "any":
			return "any"
		}
		return w.named(pkg + "." + e.Name)
	}
	return "unknown"
}

func (w *writer) named(name string) string {
	if k, ok := marshals[name]; ok {
		return k
	}
	return w.kinds[name]
}

func (w *writer) add(key, kind string) {
	if *whole || held.MatchString(w.file) {
		w.held[key] = true
	}
	if !slices.Contains(w.keys[key], kind) {
		w.keys[key] = append(w.keys[key], kind)
	}
}

// declare notes the kinds of the named types of a file.
func (w *writer) declare(f *ast.File) {
	ast.Inspect(f, func(n ast.Node) bool {
		if d, ok := n.(*ast.TypeSpec); ok {
			w.kinds[f.Name.Name+"."+d.Name.Name] = w.kind(f.Name.Name, d.Type)
		}
		return true
	})
}

// tags notes the keys of the structs of a file.
func (w *writer) tags(f *ast.File) {
	ast.Inspect(f, func(n ast.Node) bool {
		field, ok := n.(*ast.Field)
		if !ok || field.Tag == nil {
			return true
		}
		tag, err := strconv.Unquote(field.Tag.Value)
		if key, _, _ := strings.Cut(reflect.StructTag(tag).Get("json"), ","); err == nil && key != "" && key != "-" {
			w.add(key, w.kind(f.Name.Name, field.Type))
		}
		return true
	})
}

// heading is the head of a column: a key, and of what people are told it where there are
// several, which stands in a column of its own in CSV.
var heading = regexp.MustCompile(`^([a-z][a-z0-9_]*)( \(.*)?$`)

// columns notes the heads of the tables that programs write.
func (w *writer) columns(f *ast.File) {
	note := func(e ast.Expr) {
		ast.Inspect(e, func(n ast.Node) bool {
			if l, ok := n.(*ast.BasicLit); ok && l.Kind == token.STRING {
				if text, err := strconv.Unquote(l.Value); err == nil && heading.MatchString(text) {
					w.add(heading.FindStringSubmatch(text)[1], "column")
				}
			}
			return true
		})
	}
	named := func(e ast.Expr) bool {
		switch e := e.(type) {
		case *ast.Ident:
			return strings.HasSuffix(strings.ToLower(e.Name), "columns") || e.Name == "header"
		case *ast.SelectorExpr:
			return e.Sel.Name == "Columns"
		}
		return false
	}
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.KeyValueExpr:
			if named(n.Key) {
				note(n.Value)
			}
		case *ast.AssignStmt:
			if named(n.Lhs[0]) {
				note(n.Rhs[0])
			}
		case *ast.ValueSpec:
			if named(n.Names[0]) && len(n.Values) > 0 {
				note(n.Values[0])
			}
		}
		return true
	})
}

// written collects every key with its kinds.
func written(t *testing.T) *writer {
	w := &writer{kinds: map[string]string{}, keys: map[string][]string{}, held: map[string]bool{}}
	for range 3 { // a named type may be one of another that comes later
		sources(t, func(file string, _ *token.FileSet, f *ast.File) {
			if !isTest(file) {
				w.declare(f)
			}
		}, "chem", "tables", "solution", "examples")
	}
	sources(t, func(file string, _ *token.FileSet, f *ast.File) {
		if isTest(file) || strings.Contains(file, "examples/internal/docs") || strings.Contains(file, "mutants") || strings.HasSuffix(file, "datapackage.go") { // the last writes another vocabulary
			return
		}
		w.file = file
		w.tags(f)
		if strings.HasPrefix(file, "examples/") {
			w.columns(f)
		}
	}, "chem", "tables", "solution", "examples")
	w.add("version", "text") // see cli.JSON
	w.add("treatments", "list")
	w.add("line", "number")
	for key := range w.keys {
		slices.Sort(w.keys[key])
		if k := w.keys[key]; len(k) > 1 {
			w.keys[key] = slices.DeleteFunc(k, func(s string) bool { return s == "column" })
		}
	}
	return w
}

// One word for one thing: all that is written stands in the vocabulary, with type, unit
// and meaning, and the vocabulary holds nothing else. A quantity ends in its unit.
func TestVocabulary(t *testing.T) {
	file, err := os.Open(vocabularyFile)
	require.NoError(t, err)
	rows, err := csv.NewReader(file).ReadAll()
	require.NoError(t, file.Close())
	require.NoError(t, err)
	w := written(t)
	keys := w.keys
	meaning := map[string][]string{}
	for _, r := range rows[1:] {
		require.NotContains(t, meaning, r[0], "twice")
		meaning[r[0]] = r
	}
	if *updateVocabulary {
		for _, key := range slices.Sorted(maps.Keys(keys)) {
			if meaning[key] == nil {
				t.Errorf("%s has no row: add one, with its unit and meaning", key)
				meaning[key] = []string{key, "", "", ""}
			}
			meaning[key][1] = strings.Join(keys[key], "|")
		}
		maps.DeleteFunc(meaning, func(key string, _ []string) bool { return keys[key] == nil })
		var text strings.Builder
		c := csv.NewWriter(&text)
		require.NoError(t, c.Write(rows[0]))
		for _, key := range slices.Sorted(maps.Keys(meaning)) {
			require.NoError(t, c.Write(meaning[key]))
		}
		c.Flush()
		require.NoError(t, os.WriteFile(vocabularyFile, []byte(text.String()), 0o644))
		return
	}
	for key, kinds := range keys {
		if !w.held[key] {
			continue
		}
		row := meaning[key]
		if !assert.NotNil(t, row, "%s is written and not in examples/vocabulary.csv: add a row with its unit and meaning", key) {
			continue
		}
		if *whole {
			assert.Equal(t, strings.Join(kinds, "|"), row[1], "type of %s", key)
		}
		assert.NotEmpty(t, row[3], "meaning of %s", key)
		if len(kinds) > 1 {
			assert.Contains(t, row[3], ", as "+kinds[len(kinds)-1], "%s is of %v: a key of its own for each, or where it is which", key, kinds)
		}
		if want, ok := unitOf(key); ok && (slices.Contains(kinds, "number") || slices.Contains(kinds, "column")) {
			assert.Equal(t, want, row[2], "unit of %s", key)
		}
	}
	for key := range meaning {
		if !*whole {
			break
		}
		assert.Contains(t, keys, key, "nobody writes it")
	}
}

// The units that end a key.
var endings = map[string]string{
	"_g": "g", "_kg": "kg", "_l": "L", "_ml": "mL", "_mol": "mol", "_c": "°C", "_k": "K", "_h": "h", "hours": "h", "_v": "V", "_cm": "cm", "_cm2": "cm²", "_um": "µm",
	"_mpa": "MPa", "_hrc": "HRC", "_fraction": "1", "_mol_per_l": "mol/L", "_g_per_l": "g/L", "_mg_per_l": "mg/L", "_g_per_m2": "g/m²", "_kg_per_m3": "kg/m³", "_cost": "money",
}

// unitOf returns the unit in which a key ends.
func unitOf(key string) (unit string, ok bool) {
	longest := 0
	for ending, u := range endings {
		if strings.HasSuffix(key, ending) && len(ending) > longest {
			unit, ok, longest = u, true, len(ending)
		}
	}
	return unit, ok && key != "p_conc_h" && key != "log10_k" && (!strings.Contains(key, "_per_") || strings.Contains(unit, "/"))
}
