package tables

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
)

const (
	componentHeader = "species,composition,name,role,class,synonyms\n"
	constantHeader  = "reaction,quantity,temperature_c,ionic_strength_mol_l,medium,value,uncertainty,use,source,note\n"
)

// malonate is a ligand that the tables lack (NIST SRD 46, rows 151937 and 151965).
func malonate() map[string]string {
	return map[string]string{
		"components.csv": componentHeader + "mal2-,C3H2O4^2-,malonate,ligand,,mal\n",
		"constants/mal.csv": constantHeader +
			"mal2- + H+ = Hmal-,log K,25,0,,5.696,,fit,nist46,\nHmal- + H+ = H2mal,log K,25,0,,2.847,,fit,nist46,\n",
		"names.csv": "species,name,synonyms\nH2mal,malonic acid,propanedioic acid\n",
	}
}

func files(texts map[string]string) fs.FS {
	out := fstest.MapFS{}
	for name, text := range texts {
		out[name] = &fstest.MapFile{Data: []byte(text)}
	}
	return out
}

func TestWith(t *testing.T) {
	std := standardTables(t)
	before := len(std.Components())
	own, err := std.With(files(malonate()))
	require.NoError(t, err)
	c, err := own.Component("malonate")
	require.NoError(t, err)
	assert.Equal(t, "mal2-", c.Species.String())
	assert.Equal(t, c, own.Components()[before], "indices of the library's own components stay")
	f, err := own.Formation("propanedioic acid")
	require.NoError(t, err)
	assert.Equal(t, "H2mal", f.Species.String())
	assert.InDelta(t, 5.696+2.847, f.Constant.LogK, 1e-12)
	g, err := own.Notation().ParseFormula("Na2(mal)")
	require.NoError(t, err)
	assert.Equal(t, "C3H2Na2O4", g.Hill())

	assert.Len(t, std.Components(), before, "the tables that were added to are as they were")
	_, err = std.Component("malonate")
	assert.ErrorIs(t, err, ErrNotFound)
	again, err := own.With(fstest.MapFS{})
	require.NoError(t, err)
	assert.Equal(t, own.formations, again.formations)
}

// A caller's rows are held to what the library's own are held to.
func TestWithRefuses(t *testing.T) {
	for name, c := range map[string]struct{ file, old, text, says string }{
		"component again":   {"components.csv", "mal2-,C3H2O4^2-,malonate", "edta4-,C10H12N2O8^4-,edetate", `components.csv line 2, column composition is "C10H12N2O8^4-": want a symbol that is defined once where abbreviation is "edta4- = C10H12N2O8^4-"`},
		"metal again":       {"components.csv", "mal2-,C3H2O4^2-,malonate,ligand,,mal", "Ca2+,,lime,metal,hardness,", `components.csv line 2, column species is "Ca2+": want what no other row of the tables has; "Ca2+" is taken`},
		"name again":        {"components.csv", ",malonate,", ",oxalate,", `column name is "oxalate"`},
		"composition":       {"components.csv", "C3H2O4^2-", "C3H2O4^3-", `components.csv line 2, column composition is "C3H2O4^3-": want the same charge on both sides where abbreviation is "mal2- = C3H2O4^3-"`},
		"second proton":     {"components.csv", "mal2-,C3H2O4^2-,malonate,ligand,,mal", "D+,,deuteron,proton,,", "chemical formula"},
		"role":              {"components.csv", "ligand", "metal", "column role"},
		"species again":     {"constants/mal.csv", "Hmal- + H+ = H2mal,log K,25,0,,2.847", "CO3^2- + H+ = HCO3-,log K,25,0,,10.3", "it would count twice"},
		"unbalanced":        {"constants/mal.csv", "Hmal- + H+ = H2mal,", "Hmal- + H+ = H2mal+,", `"Hmal- + H+ = H2mal+": want a balanced one (the products exceed the reactants by charge +1)`},
		"source":            {"constants/mal.csv", "nist46", "hearsay", "keys of the source files, not hearsay"},
		"chelant elsewhere": {"constants/mal.csv", "Hmal- + H+ = H2mal,log K,25,0,,2.847", "Sr2+ + edta4- + H+ = SrH(edta)-,log K,25,0,,11", "rows of edta4- in a file of its symbol"},
		"protons":           {"constants/mal.csv", "2.847", "7.847", "held with log10 K"},
		"made twice":        {"constants/mal.csv", "Hmal- + H+ = H2mal,log K,25,0,,2.847", "2 mal2- + 2 H+ = 2 Hmal-,log K,25,0,,10", `constants/mal.csv line 3, column reaction is "2 mal2- + 2 H+ = 2 Hmal-": want a reaction that makes a new species: it would count twice`},
		"no formula":        {"constants/mal.csv", "mal2- + H+", "yy2- + H+", `constants/mal.csv line 2, column reaction is "yy2- + H+ = Hmal-": want a chemical formula where formula is "yy2-" (byte 0: unknown abbreviation "yy"; elements start with a capital letter)`},
		"class":             {"components.csv", "ligand,,mal", "ligand,chelant,mal", `column class is "chelant": want one of "strong chelant", "weak chelant" or ""`},
		"header":            {"names.csv", "species,name", "name,species", "the header species,name,synonyms"},
		"empty file":        {"names.csv", "species,name,synonyms\nH2mal,malonic acid,propanedioic acid\n", "", "names.csv is no table: want comma-separated rows (EOF)"},
	} {
		texts := malonate()
		changed := strings.Replace(texts[c.file], c.old, c.text, 1)
		require.NotEqual(t, texts[c.file], changed, name)
		texts[c.file] = changed
		std := standardTables(t)
		own, err := std.With(files(texts))
		require.ErrorIs(t, err, ErrData, name)
		require.ErrorIs(t, err, chem.ErrInput, name)
		assert.ErrorContains(t, err, c.says, name)
		if strings.HasPrefix(c.says, c.file) {
			assert.EqualError(t, err, c.says, name)
		}
		assert.Nil(t, own)
	}
	reagents := content(t, "reagents.csv")
	_, err := standardTables(t).With(files(map[string]string{"reagents.csv": strings.Join(strings.SplitAfter(reagents, "\n")[:2], "")}))
	assert.ErrorContains(t, err, `reagents.csv line 2, column id is "edta-acid": want what no other row of the tables has`)
}

// A file of a name or in a folder that is not read is refused; other files may lie beside, and a byte order mark
// at the head, as spreadsheets write it.
func TestWithRefusesOtherFiles(t *testing.T) {
	for name, says := range map[string]string{
		"component.csv": `bad data: file is "component.csv": want a name of the tables, such as "components.csv" or "constants/*.csv"`, "Components.CSV": "", "data/components.csv": "", "constants/sub/mal.csv": "",
	} {
		texts := malonate()
		texts[name] = "x"
		_, err := standardTables(t).With(files(texts))
		require.ErrorIs(t, err, ErrData, name)
		require.ErrorContains(t, err, cmp.Or(says, name))
	}
	_, err := standardTables(t).With(os.DirFS("no such folder"))
	require.ErrorIs(t, err, ErrData)
	texts := malonate()
	texts["readme.txt"], texts["components.csv"] = "", "\ufeff"+texts["components.csv"]
	_, err = standardTables(t).With(files(texts))
	require.NoError(t, err)
}

// slipped returns a file of the library with one text in the place of another.
func slipped(t *testing.T, file, old, text string) fs.FS {
	t.Helper()
	whole := content(t, file)
	changed := strings.Replace(whole, old, text, 1)
	require.NotEqual(t, whole, changed, old)
	return files(map[string]string{file: changed})
}

// instead holds the library's files with some in the place of its own.
type instead struct{ fs.FS }

func (f instead) Open(name string) (fs.File, error) {
	if file, err := f.FS.Open(name); err == nil && path.Ext(name) != "" {
		return file, nil
	}
	return Data().Open(name)
}

func (f instead) ReadDir(name string) ([]fs.DirEntry, error) { return fs.ReadDir(Data(), name) }

// Slips that are sound in structure and make no sense are named.
func TestSenseless(t *testing.T) {
	for name, c := range map[string]struct{ file, old, text, says string }{
		"sign": {"constants/nta.csv", "Fe(nta)2^4-,log K,25,0.1,K+,11.98", "Fe(nta)2^4-,log K,25,0.1,K+,-11.98",
			`constants/nta.csv line 51, column value is "-11.98": want log K for complex of a strong chelant, from 0 to 60`},
		"a further ligand": {"constants/nta.csv", "Fe(nta)2^3-,log K,25,0.1,K+,24.0", "Fe(nta)2^3-,log K,25,0.1,K+,14.0", `"Fe3+ + 2 nta3- = Fe(nta)2^3-": want an overall constant above the 16.05 of one ligand less`},
		"a row apart":      {"constants/citrate.csv", "Hcit2-,log K,25,0.5,Na+,5.27", "Hcit2-,log K,25,0.5,Na+,7.27", `column value is "7.27": want log K that the other rows of the reaction bear out, within 1.2`},
		"radical":          {"reagents.csv", ",0.99,0.995,1,H2O,", ",0.99,0.995,1,H3O,", `column remainder is "H3O": want the formula of a substance, with an even number of electrons`},
	} {
		_, err := new(Tables).With(instead{slipped(t, c.file, c.old, c.text)})
		require.ErrorIs(t, err, ErrData, name)
		assert.ErrorContains(t, err, c.says, name)
	}
	_, err := new(Tables).With(instead{files(nil)})
	require.NoError(t, err)
}

// Where a file holds both, log K in the place of enthalpies and enthalpies in the place
// of log K are refused.
func TestQuantitiesExchanged(t *testing.T) {
	exchange := strings.NewReplacer(",log K,", ",enthalpy,", ",enthalpy,", ",log K,")
	for _, file := range dataFiles(t) {
		whole := content(t, file)
		if !strings.HasPrefix(file, "constants/") || !strings.Contains(whole, ",enthalpy,") {
			continue
		}
		_, err := new(Tables).With(instead{files(map[string]string{file: exchange.Replace(whole)})})
		require.ErrorIs(t, err, ErrData, file)
		assert.ErrorContains(t, err, file+" line ", file)
	}
}

// One used row alone told as the other quantity is refused in 97 cases of 100: by its size, by the
// other rows of its reaction, or since an enthalpy in kJ/mol would be the log K.
func TestOneQuantityExchanged(t *testing.T) {
	other := map[string]string{"log K": "enthalpy", "enthalpy": "log K"}
	tried, refused := 0.0, 0.0
	for _, file := range dataFiles(t) {
		if !strings.HasPrefix(file, "constants/") {
			continue
		}
		c := corruptor{t: t, file: file, base: standardTables(t)}
		c.header, c.rows = table(t, file)
		for k := range c.rows {
			if c.cell(k, "use") != "fit" {
				continue
			}
			block, at := c.block(k)
			block[at] = slices.Clone(block[at])
			block[at][slices.Index(c.header, "quantity")] = other[c.cell(k, "quantity")]
			tried++
			if err, _ := c.load(block); err != nil {
				refused++
			}
		}
	}
	t.Logf("%.0f of %.0f refused", refused, tried)
	assert.Greater(t, refused/tried, 0.97)
}

// callAll calls every exported method of a value with zero arguments: what it returns has no number that JSON cannot hold.
func callAll(t *testing.T, v reflect.Value) {
	t.Helper()
	for i := range v.NumMethod() {
		method := v.Type().Method(i)
		var in []reflect.Value
		for k := 1; k < method.Type.NumIn() && !(method.Type.IsVariadic() && k == method.Type.NumIn()-1); k++ {
			in = append(in, reflect.Zero(method.Type.In(k)))
			if in[k-1].Type() == reflect.TypeFor[unit.Temperature]() {
				in[k-1] = reflect.ValueOf(chem.ReferenceTemperature) // 0 K there is not
			}
		}
		assert.NotPanics(t, func() {
			for _, x := range v.Method(i).Call(in) {
				if x.Kind() == reflect.Func {
					x.Seq()(func(reflect.Value) bool { return true })
				} else if _, err := json.Marshal(x.Interface()); err != nil {
					t.Errorf("%s.%s: %v", v.Type(), method.Name, err)
				}
			}
		}, "%s.%s", v.Type(), method.Name)
	}
}

// Every exported method of empty tables, and of the zero value of all that tables
// return, returns; empty tables find nothing.
func TestZeroValues(t *testing.T) {
	callAll(t, reflect.ValueOf(new(Tables)))
	callAll(t, reflect.ValueOf((*Tables)(nil)))
	for _, x := range everything(t, standardTables(t)) {
		if x.Kind() == reflect.Struct {
			x.SetZero()
			callAll(t, x)
		}
	}
	_, err := new(Tables).Reagent("citric acid")
	assert.EqualError(t, err, `reagent is "citric acid": want a name of the tables`)
}

// everything collects what the tables return: all that is exported and takes no
// argument, drawn from iterators, and each thing by its name.
func everything(t *testing.T, tb *Tables) map[string]reflect.Value {
	t.Helper()
	out := map[string]reflect.Value{}
	keep := func(name string, x reflect.Value) {
		p := reflect.New(x.Type())
		p.Elem().Set(x)
		out[name] = p.Elem()
	}
	v := reflect.ValueOf(tb)
	for i := range v.NumMethod() {
		name, m := v.Type().Method(i).Name, v.Method(i)
		if m.Type().NumIn() != 0 || m.Type().NumOut() != 1 || name == "Notation" {
			continue
		}
		result := m.Call(nil)[0]
		if result.Kind() != reflect.Func {
			keep(name, result)
			continue
		}
		n := 0
		for x := range result.Seq() {
			keep(fmt.Sprintf("%s %d", name, n), x)
			if find := v.MethodByName(strings.TrimSuffix(name, "s")); find.IsValid() {
				if id := x.FieldByName("ID"); id.IsValid() {
					one := find.Call([]reflect.Value{id})
					require.True(t, one[1].IsNil(), "%s %s", name, id)
					keep(fmt.Sprintf("%s %d by name", name, n), one[0])
				}
			}
			n++
		}
		require.Positive(t, n, name)
	}
	every := make([]int, len(listed[Component](tb).items))
	for i := range every {
		every[i] = i
	}
	keep("Formations", reflect.ValueOf(tb.Formations(every)))
	for _, f := range tb.formations {
		one, err := tb.Formation(f.Species.String())
		require.NoError(t, err)
		keep("Formation "+f.Species.String(), reflect.ValueOf(one))
	}
	between, err := tb.Between("Fe3+", "edta")
	require.NoError(t, err)
	keep("Between", reflect.ValueOf(between))
	at, ok := tb.EquilibriumAt(3)
	require.True(t, ok)
	keep("EquilibriumAt", reflect.ValueOf(at))
	return out
}

// spoil sets all that is reachable and can be set to zero, elements of slices first.
func spoil(v reflect.Value) {
	switch v.Kind() {
	case reflect.Slice:
		for i := range v.Len() {
			spoil(v.Index(i))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Field(i).CanSet() {
				spoil(v.Field(i))
			}
		}
	case reflect.Map, reflect.Pointer, reflect.Interface:
		panic("tables return values and slices alone: " + v.Type().String())
	}
	v.SetZero()
}

func TestWhatTablesReturnIsTheCallers(t *testing.T) {
	tb, err := new(Tables).With(Data())
	require.NoError(t, err)
	got := everything(t, tb)
	require.Greater(t, len(got), 1000)
	for _, x := range got {
		spoil(x)
	}
	fresh, err := new(Tables).With(Data())
	require.NoError(t, err)
	tb.files, fresh.files = nil, nil
	assert.True(t, reflect.DeepEqual(fresh, tb), "changing what the tables return has changed the tables")
}

// All that the tables return survives JSON, and reading it needs no tables.
func TestJSON(t *testing.T) {
	got := everything(t, standardTables(t))
	for _, name := range slices.Sorted(maps.Keys(got)) {
		want := got[name].Interface()
		text, err := json.Marshal(want)
		require.NoError(t, err, name)
		back := reflect.New(got[name].Type())
		d := json.NewDecoder(bytes.NewReader(text))
		d.DisallowUnknownFields()
		require.NoError(t, d.Decode(back.Interface()), name)
		again, err := json.Marshal(back.Interface())
		require.NoError(t, err, name)
		require.Equal(t, string(text), string(again), name)
	}
}

// Ligands are rows of data: no Go file of this package or of package chem has the
// symbol of one, or a formula with it, as a string, tests aside.
func TestNoLigandInGo(t *testing.T) {
	var symbols []string
	for _, c := range listed[Component](standardTables(t)).items {
		if symbol := strings.TrimRight(c.ID, "0123456789-"); c.Role == "ligand" && strings.ToLower(symbol) == symbol {
			symbols = append(symbols, symbol)
		}
	}
	require.Greater(t, len(symbols), 5)
	literal := regexp.MustCompile(`"([A-Z][a-z]?[0-9]?)?\(?(` + strings.Join(symbols, "|") + `)[0-9+^()-]*"`)
	for _, folder := range []string{".", "../chem"} {
		sources, err := filepath.Glob(filepath.Join(folder, "*.go"))
		require.NoError(t, err)
		for _, file := range sources {
			if strings.HasSuffix(file, "_test.go") {
				continue
			}
			text, err := os.ReadFile(file)
			require.NoError(t, err)
			for i, line := range strings.Split(string(text), "\n") {
				code, _, _ := strings.Cut(line, "//")
				assert.NotRegexp(t, literal, code, "%s line %d", file, i+1)
			}
		}
	}
}

// A name of a megabyte costs next to nothing and is cut when it is told.
func TestLongNames(t *testing.T) {
	tb := standardTables(t)
	long := strings.Repeat("citric acid ", 1<<17)
	for kind, find := range map[string]func(string) error{
		"reagent":   func(s string) error { _, err := tb.Reagent(s); return err },
		"species":   func(s string) error { _, err := tb.Formation(s); return err },
		"component": func(s string) error { _, err := tb.Component(s); return err },
		"solid":     func(s string) error { _, err := tb.Solid(s); return err },
		"hardness":  func(s string) error { _, err := tb.ParseHardness("3 " + s); return err },
		"reaction":  func(s string) error { _, err := tb.Constant(s); return err },
	} {
		err := find(long)
		require.ErrorIs(t, err, chem.ErrInput, kind)
		assert.Less(t, len(err.Error()), 500, kind)
	}
}
