package tables

import (
	"io/fs"

	"example.com/chelation/chem"
)

// loadNames reads the common names of species that are neither components nor
// solids, and joins them with the names of those.
func (t *Tables) loadNames(fsys fs.FS) error {
	rows, err := readCSV(fsys, "names.csv", "species", "name", "synonyms")
	if err != nil {
		return err
	}
	for _, c := range t.components.items {
		t.names.add(c.Species.String(), c.Name, c.Name, c.Synonyms...)
	}
	for _, s := range t.solids.items {
		t.names.add(s.Species.String(), s.Name, s.Name, s.Synonyms...)
	}
	seen := map[string]bool{}
	for _, r := range rows.rows {
		name := r.species("species").String()
		i, ok := t.bySpecies[name]
		if !ok || seen[name] || t.formations[i].Species.Phase == chem.Solid || len(t.formations[i].Steps) == 0 {
			r.fail("species", "a species made by a reaction, not a solid, that occurs once")
		}
		seen[name] = true
		title := r.text("name")
		if taken := t.names.add(name, title, title, r.list("synonyms")...); taken != "" {
			r.fail("name", "names that occur once, not "+taken)
		}
	}
	return rows.err()
}

// Name returns the common name of a component, a solid or another species of
// the tables, or "" if it has none.
func (t *Tables) Name(species chem.Species) string {
	text := species.String()
	for i, s := range t.names.items {
		if s == text {
			return t.names.title[i]
		}
	}
	return ""
}
