package tables

import (
	"embed"
	"fmt"
	"io/fs"
	"iter"
	"slices"
	"sync"

	"example.com/chelation/chem"
)

//go:embed data
var embedded embed.FS

// Tables is a loaded and verified set of reference data. It is read-only and
// safe for concurrent use.
type Tables struct {
	sources    catalogue[Source]
	components catalogue[Component]
	equilibria []Equilibrium
	unused     []Equilibrium
	formations []Formation    // sorted by the text of the species
	bySpecies  map[string]int // from the text of a species to its formation
	solids     catalogue[Solid]
	names      catalogue[string] // from a name to the text of a species
	reference
}

// Standard returns the tables that come with the library, loaded and verified
// once.
func Standard() (*Tables, error) { return standard() }

var standard = sync.OnceValues(func() (*Tables, error) {
	data, err := fs.Sub(embedded, "data")
	if err != nil {
		return nil, err
	}
	return Load(data)
})

// Load reads tables from files laid out like those in the library's own data
// directory, and verifies them: every reaction balances in each element and in
// charge, every species follows from the components in exactly one way, every
// source is listed, ids are unique, numbers are finite and in range, each
// further proton is held less firmly than the last, and solids that are known
// to be more stable are less soluble. The error
// joins all that was found wrong; it wraps [ErrData], and errors.As finds the
// first [*RowError].
func Load(fsys fs.FS) (*Tables, error) {
	t := &Tables{bySpecies: map[string]int{}}
	t.sources.kind, t.components.kind, t.solids.kind, t.names.kind = "source", "component", "solid", "species"
	for _, step := range []func(fs.FS) error{
		t.loadSources, t.loadComponents, t.loadEquilibria, t.deriveFormations, t.imply, t.loadSolids, t.loadNames,
		t.checkOrder, t.loadReference,
	} {
		if err := step(fsys); err != nil {
			return nil, err
		}
	}
	return t, nil
}

// CommonPractice marks a fact of the trade that no publication is known for.
const CommonPractice = "common practice, no source"

// Source is where a number comes from.
type Source struct {
	Key      string // short name used in the data files
	Citation string // author, year, place
	Access   string // seen, from memory, arithmetic, judgement or common practice
	Note     string
}

func (t *Tables) loadSources(fsys fs.FS) error {
	for _, file := range []string{"sources.csv", "sources-reference.csv"} {
		if err := t.loadSourceFile(fsys, file); err != nil {
			return err
		}
	}
	return nil
}

func (t *Tables) loadSourceFile(fsys fs.FS, file string) error {
	rows, err := readCSV(fsys, file, "key", "citation", "access", "note")
	if err != nil {
		return err
	}
	for _, r := range rows.rows {
		s := Source{r.text("key"), r.text("citation"),
			r.oneOf("access", "seen", "from memory", "arithmetic", "judgement", "common practice"), r.optionalText("note")}
		if taken := t.sources.add(s, s.Key, s.Key); taken != "" {
			r.fail("key", "a key that occurs once")
		}
	}
	return rows.err()
}

// sourceKeys returns the keys in the source column, all of which must be listed.
func (t *Tables) sourceKeys(r row) []string {
	keys := r.list("source")
	if len(keys) == 0 {
		r.fail("source", "at least one source")
	}
	for _, k := range keys {
		if !t.sources.has(k) {
			r.fail("source", "keys of the source files, not "+k)
		}
	}
	return keys
}

// Source returns the citation behind a key.
func (t *Tables) Source(key string) (Source, error) { return t.sources.find(key) }

// Sources yields all citations in the order of the data files.
func (t *Tables) Sources() iter.Seq[Source] { return t.sources.all() }

// Component is one of the species of which all others are made: the hydrogen
// ion, a bare metal ion or a ligand without its protons. Water is implied.
type Component struct {
	Species  chem.Species
	Name     string
	Role     string // proton, metal or ligand
	Class    Class  // what it counts as in a bath
	Synonyms []string
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

// Chelant reports whether the class holds iron.
func (c Class) Chelant() bool { return c == StrongChelant || c == WeakChelant }

func (t *Tables) loadComponents(fsys fs.FS) error {
	rows, err := readCSV(fsys, "components.csv", "species", "name", "role", "class", "synonyms")
	if err != nil {
		return err
	}
	protons := 0
	for _, r := range rows.rows {
		c := Component{r.species("species"), r.text("name"), r.oneOf("role", "proton", "metal", "ligand"), r.class(), r.list("synonyms")}
		if taken := t.components.add(c, c.Species.String(), c.Name, c.Synonyms...); taken != "" {
			r.fail("species", "names that occur once, not "+taken)
		}
		if z := c.Species.Formula.Charge(); c.Role == "ligand" && z > 0 || c.Role != "ligand" && z <= 0 {
			r.fail("role", "metals of positive charge, ligands of none or negative")
		}
		if c.Role == "proton" {
			protons++
		}
	}
	if protons != 1 {
		rows.errs = append(rows.errs, fmt.Errorf("%w: components.csv: want one proton, have %d", ErrData, protons))
	}
	return rows.err()
}

// class returns what the component of a row counts as, which must go with its
// role.
func (r row) class() Class {
	switch r.optionalText("role") {
	case "metal":
		return Class(r.oneOf("class", string(AlkaliMetal), string(HardnessMetal), string(IronMetal), string(OtherMetal)))
	case "ligand":
		return Class(r.oneOf("class", string(StrongChelant), string(WeakChelant), ""))
	}
	return Class(r.oneOf("class", ""))
}

// Components returns the components in the order of the data file; their
// indices are those of [Coefficient].
func (t *Tables) Components() []Component { return slices.Clone(t.components.items) }

// proton returns the index of the hydrogen ion among the components.
func (t *Tables) proton() int {
	return slices.IndexFunc(t.components.items, func(c Component) bool { return c.Role == "proton" })
}

// Component finds a component by formula, name or synonym.
func (t *Tables) Component(name string) (Component, error) {
	return t.components.find(canonical(name))
}

// canonical writes the formula of a species as the tables do, and leaves other
// names alone.
func canonical(name string) string {
	if s, err := chem.ParseSpecies(name); err == nil {
		return s.String()
	}
	return name
}

// species returns the species in a cell, which must be written canonically.
func (r row) species(column string) chem.Species {
	text := r.text(column)
	s, err := chem.ParseSpecies(text)
	switch {
	case err != nil:
		r.fail(column, fmt.Sprintf("a species (%v)", err))
	case s.String() != text:
		r.fail(column, "the form "+s.String())
	}
	return s
}

// reaction returns the balanced reaction in a cell.
func (r row) reaction(column string) chem.Reaction {
	rx, err := chem.ParseReaction(r.text(column))
	if err == nil {
		err = rx.Check()
	}
	if err != nil {
		r.fail(column, fmt.Sprintf("a balanced reaction (%v)", err))
		return chem.Reaction{}
	}
	if s := rx.String(); s != r.optionalText(column) {
		r.fail(column, "the form "+s)
	}
	return rx
}
