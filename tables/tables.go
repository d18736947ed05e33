package tables

import (
	"cmp"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"reflect"
	"slices"
	"strings"
	"sync"

	"example.com/chelation/chem"
)

//go:embed data
var embedded embed.FS

// Tables is a loaded and verified set of reference data. It is read-only and safe for concurrent
// use; what it returns is the caller's own. The zero value is empty, and nil is as that.
type Tables struct {
	files      []fs.FS // what it was loaded from
	notation   chem.Notation
	equilibria []Equilibrium
	lines      []int // of the first row of each
	unused     []Equilibrium
	formations []Formation          // sorted by the text of the species
	bySpecies  map[string]int       // from the text of a species to its formation
	lists      map[reflect.Type]any // the catalogue of each type of item
}

var none = new(Tables)

// Standard returns the tables that come with the library, loaded and verified once.
func Standard() (*Tables, error) { return standard() }

var standard = sync.OnceValues(func() (*Tables, error) { return new(Tables).With(Data()) })

// Data returns the files of [Standard].
func Data() fs.FS { return must(fs.Sub(embedded, "data")) }

// With returns tables that hold the rows of these and, after them, those of fsys: files of the
// names and headers in [Data], of which any may be missing. A new chelant is a row in
// components.csv, the rows of its constants in a file of its symbol in the folder constants, and a
// row in reagents.csv; its sources stand in sources.csv.
//
// All is verified together. The error joins all that was found wrong; it wraps [ErrData], and
// errors.As finds the first [chem.InputError].
func (t *Tables) With(fsys fs.FS) (*Tables, error) {
	if fsys == nil {
		return nil, &chem.InputError{Field: "files", Value: "missing", Want: "a file system", Kind: ErrData}
	}
	next := &Tables{files: append(slices.Clone(cmp.Or(t, none).files), fsys), bySpecies: map[string]int{}, lists: map[reflect.Type]any{}}
	for _, step := range []func(*Tables, []fs.FS) error{
		refuseOthers, (*Tables).loadSources, (*Tables).loadComponents, (*Tables).loadEquilibria, (*Tables).deriveFormations, (*Tables).imply,
		(*Tables).loadSolids, (*Tables).loadNames, (*Tables).checkOrder, (*Tables).checkComplexes, (*Tables).loadReference,
	} {
		if err := step(next, next.files); err != nil {
			return nil, err
		}
	}
	return next, nil
}

// refuseOthers refuses tables that would not be read, since a name or a folder has slipped.
func refuseOthers(_ *Tables, files []fs.FS) error {
	var errs []error
	names, _ := fs.Glob(Data(), "*.csv") // fails by its pattern alone, as Match does
	if err := fs.WalkDir(files[len(files)-1], ".", func(name string, _ fs.DirEntry, err error) error {
		constants, _ := path.Match("constants/*.csv", name)
		if strings.EqualFold(path.Ext(name), ".csv") && !constants && !slices.Contains(names, name) {
			near := append(chem.Nearest(path.Base(name), slices.Values(names)), "constants/*.csv")
			errs = append(errs, fmt.Errorf("%w: %w", ErrData, notFound("file", name, near)))
		}
		return err
	}); err != nil {
		errs = append(errs, &chem.InputError{Field: "files", Value: "unreadable", Want: "a file system", Err: err, Kind: ErrData})
	}
	return errors.Join(errs...)
}

func (t *Tables) loadReference(files []fs.FS) error {
	err := errors.Join(
		load(t, files, "couples.csv", row.couple),
		load(t, files, "materials.csv", row.material), // of those metals
		load(t, files, "reagents.csv", row.reagent),
		t.loadHazards(files), // which reagents and materials name
		load(t, files, "hardness-units.csv", row.hardnessUnit),
		load(t, files, "waters.csv", row.water),
		load(t, files, "indicators.csv", row.indicator),
		load(t, files, "strips.csv", row.strip), // in units of hardness
		load(t, files, "dispensers.csv", row.dispenser),
		load(t, files, "rust-phases.csv", row.rustPhase),
		load(t, files, "rusts.csv", row.rust), // of those phases
		load(t, files, "corrosivity.csv", row.corrosivity),
		load(t, files, "dissolution-phases.csv", row.phaseRate),
		load(t, files, "dissolution.csv", row.kinetic),
		load(t, files, "practice.csv", row.practice),
		load(t, files, "inhibitors.csv", row.inhibitor),
		load(t, files, "baking.csv", row.bake),
		load(t, files, "signs.csv", row.sign),
		load(t, files, "fates.csv", row.fate),
		load(t, files, "doubts.csv", row.doubt),
	)
	reagents := listed[Reagent](t)
	for i, r := range reagents.items {
		reagents.alias(i, r.Formula.String())
	}
	return err
}

// Source is where a number comes from.
type Source struct {
	Key      string `json:"key"`      // short name used in the data files
	Citation string `json:"citation"` // author, year, place
	Access   string `json:"access"`   // seen, from memory, arithmetic, judgement or common practice
	Note     string `json:"note,omitempty"`
}

// Cited writes sources in full, by their keys.
func (t *Tables) Cited(keys ...string) string {
	var all []string
	for _, key := range keys {
		if s, err := Find[Source](t, key); err == nil { // loading demands it
			all = append(all, s.Citation)
		}
	}
	return strings.Join(all, "; ")
}

func (s Source) entry() Entry { return Entry{ID: s.Key} }

func (t *Tables) loadSources(files []fs.FS) error {
	return errors.Join(load(t, files, "sources.csv", row.citation), load(t, files, "sources-reference.csv", row.citation))
}

func (r row) citation() Source {
	return Source{r.text("key"), r.text("citation"),
		oneOf(r, "access", "seen", "from memory", "arithmetic", "judgement", "common practice"), r.optionalText("note")}
}

// Component is one of the species of which all others are made: see the overview.
type Component struct {
	Entry
	Species chem.Species `json:"species"`
	Role    string       `json:"role"`            // proton, metal or ligand
	Class   Class        `json:"class,omitempty"` // what it counts as in a bath
}

// Class is what a component counts as when one asks what a bath can take.
type Class string

// The classes. The proton and the ligands that hold no iron to speak of have none.
const (
	StrongChelant Class = "strong chelant" // holds iron one to one far into the alkaline
	WeakChelant   Class = "weak chelant"   // holds iron, in acid and in its own ways
	AlkaliMetal   Class = "alkali metal"   // takes up no chelant to speak of
	HardnessMetal Class = "hardness"       // the alkaline earths
	IronMetal     Class = "iron"
	OtherMetal    Class = "other metal"
)

var classes = map[string][]Class{
	"proton": {""}, "metal": {AlkaliMetal, HardnessMetal, IronMetal, OtherMetal}, "ligand": {StrongChelant, WeakChelant, ""},
}

// Chelant reports whether the class holds iron.
func (c Class) Chelant() bool { return c == StrongChelant || c == WeakChelant }

// Metal reports whether the class is of metals that chelants hold firmly: of any but the alkalis.
func (c Class) Metal() bool { return c == HardnessMetal || c == IronMetal || c == OtherMetal }

// loadComponents reads the components and, from the compositions in them, the notation of all other
// files.
func (t *Tables) loadComponents(files []fs.FS) error {
	rows := t.read(files, "components.csv")
	var definitions []string
	protons := 0
	for _, r := range rows.rows {
		if text := r.optionalText("composition"); text != "" {
			more := append(definitions, r.optionalText("species")+" = "+text)
			if n, err := chem.NewNotation(more...); err != nil {
				r.refuse("composition", "what the abbreviation stands for", err)
				continue // no formula with it can be read
			} else {
				definitions, t.notation = more, n
			}
		}
		c := Component{Entry: r.entry(), Species: r.species("species"), Role: oneOf(r, "role", "proton", "metal", "ligand")}
		c.Class = oneOf(r, "class", classes[c.Role]...)
		add(r, c)
		if z := c.Species.Formula.Charge(); c.Role == "ligand" && z > 0 || c.Role != "ligand" && z <= 0 {
			r.fail("role", "metals of positive charge, ligands of none or negative")
		}
		if c.Role == "proton" {
			protons++
		}
	}
	if protons != 1 {
		rows.lack(fmt.Sprintf("%d protons", protons), "one proton")
	}
	return rows.err()
}

// Components returns the components in the order of the data file; their indices are those of
// [Coefficient].
func (t *Tables) Components() []Component {
	out := slices.Clone(listed[Component](t).items)
	for i := range out { // by hand, since vessels and beliefs ask for them often
		out[i].Synonyms = slices.Clone(out[i].Synonyms)
	}
	return out
}

func (t *Tables) proton() int {
	return slices.IndexFunc(listed[Component](t).items, func(c Component) bool { return c.Role == "proton" })
}

// Component finds a component by formula, name or synonym.
func (t *Tables) Component(name string) (Component, error) {
	i, ok := t.lookUp(name)
	if !ok || len(t.formations[i].Steps) > 0 { // Hedta3- is not hedta3-
		components := listed[Component](t)
		near := components.near(t.canonical(name))
		for i, title := range near {
			if c, err := components.find("component", title); err == nil && strings.HasPrefix(strings.ToLower(c.ID), strings.ToLower(strings.TrimSpace(name))) {
				near[i] = c.ID // a formula was begun
			}
		}
		return Component{}, notFound("component", name, near)
	}
	return Copy(listed[Component](t).items[t.formations[i].Coefficients[0].Component]), nil
}

// canonical writes the formula of a species as the tables do, and leaves other names alone.
func (t *Tables) canonical(name string) string {
	name, t = strings.TrimSpace(name), cmp.Or(t, none)
	if _, ok := t.bySpecies[name]; ok {
		return name
	}
	s, err := t.notation.ParseSpecies(name)
	if err != nil {
		return name
	}
	for _, f := range t.formations { // in other words: H3(cit) is H3cit
		if f.Species.Equal(s) {
			return f.Species.String()
		}
	}
	return s.String()
}

// Notation reads formulas with the abbreviations of the tables' ligands.
func (t *Tables) Notation() chem.Notation { return cmp.Or(t, none).notation }

// Range is a quantity that varies from bag to bag or from reader to reader: Low and High hold about
// nine cases in ten between them, Typical is the value to reckon with. The unit is told where the
// Range is used.
type Range struct {
	Low     float64 `json:"low"`
	Typical float64 `json:"typical"`
	High    float64 `json:"high"`
}

// Times returns the range in a unit 1/factor as large; factor must not be negative.
func (r Range) Times(factor float64) Range {
	return Range{r.Low * factor, r.Typical * factor, r.High * factor}
}
