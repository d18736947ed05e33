package tables

import (
	"fmt"
	"io/fs"
	"iter"

	"example.com/chelation/chem"
)

// Forming tells whether a solid comes down within the days that a bath is used.
type Forming string

const (
	Forms      Forming = "yes"   // within hours to days, by default
	FormsAsked Forming = "asked" // it may, and does when the caller asks for it
	FormsNever Forming = "no"    // only by ageing; it may dissolve if it is put in
)

// Solid is a solid phase with what it does in a bath.
type Solid struct {
	Species   chem.Species
	Name      string
	Synonyms  []string
	Density   float64 // g/cm³, 0 if unknown
	Dissolves bool    // whether it may dissolve once it is in the vessel
	Forms     Forming // whether it comes down by itself
	Sources   []string
	Note      string
}

func (t *Tables) loadSolids(fsys fs.FS) error {
	rows, err := readCSV(fsys, "solids.csv", "species", "name", "synonyms", "density_g_cm3", "dissolves", "forms", "source", "note")
	if err != nil {
		return err
	}
	for _, r := range rows.rows {
		s := Solid{
			Species:   r.species("species"),
			Name:      r.text("name"),
			Synonyms:  r.list("synonyms"),
			Dissolves: r.oneOf("dissolves", "yes", "no") == "yes",
			Forms:     Forming(r.oneOf("forms", "yes", "asked", "no")),
			Sources:   t.sourceKeys(r),
			Note:      r.optionalText("note"),
		}
		if d, ok := r.optional("density_g_cm3"); ok {
			if d < 0.5 || d > 15 {
				r.fail("density_g_cm3", "a number from 0.5 to 15")
			}
			s.Density = d
		}
		name := s.Species.String()
		if _, ok := t.bySpecies[name]; !ok || s.Species.Phase != chem.Solid {
			r.fail("species", "a solid with a constant")
		}
		if taken := t.solids.add(s, name, s.Name, s.Synonyms...); taken != "" {
			r.fail("species", "names that occur once, not "+taken)
		}
	}
	for _, f := range t.formations {
		name := f.Species.String()
		if f.Species.Phase == chem.Solid && !t.solids.has(name) {
			rows.errs = append(rows.errs, fmt.Errorf("%w: solids.csv: %s has a constant but no row", ErrData, name))
		}
	}
	return rows.err()
}

// Solids yields all solids in the order of the data file.
func (t *Tables) Solids() iter.Seq[Solid] { return t.solids.all() }

// Solid finds a solid by formula, name or synonym.
func (t *Tables) Solid(name string) (Solid, error) { return t.solids.find(canonical(name)) }
