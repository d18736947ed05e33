package tables

import (
	"fmt"
	"io/fs"
	"iter"

	"example.com/chelation/chem"
)

// Couple is a metal with its ion, or two ions of a metal, and the standard
// potential between them.
type Couple struct {
	ID       string
	Name     string
	Synonyms []string
	// Oxidised is a component of the tables; Reduced is the metal or the ion of
	// lower charge.
	Oxidised, Reduced chem.Species
	// Potential at 25 °C and zero ionic strength against the hydrogen electrode,
	// in V, with its standard uncertainty.
	Potential, Uncertainty float64
	// Group is what parts of this metal count as among [OutsideMaterials], or
	// empty.
	Group   string
	Note    string
	Sources []string
}

// Electrons returns the number of electrons that turn Oxidised into Reduced.
func (c Couple) Electrons() int { return c.Oxidised.Formula.Charge() - c.Reduced.Formula.Charge() }

// Metal reports whether the reduced form is the metal itself.
func (c Couple) Metal() bool { return c.Reduced.Phase == chem.Solid }

// Couple returns the couple of that id, name or synonym. The error is a
// *NotFoundError.
func (t *Tables) Couple(name string) (Couple, error) { return t.couples.find(name) }

// Couples yields all couples: metals by rising potential, then pairs of ions.
func (t *Tables) Couples() iter.Seq[Couple] { return t.couples.all() }

const coupleFile = "couples.csv"

func (t *Tables) loadCouples(fsys fs.FS) error {
	rows, err := readCSV(fsys, coupleFile,
		"id", "name", "synonyms", "oxidised", "reduced", "potential_v", "uncertainty_v", "group", "note", "source")
	if err != nil {
		return err
	}
	t.couples.kind = "couple"
	for _, r := range rows.rows {
		c := Couple{
			ID: r.text("id"), Name: r.text("name"), Synonyms: r.list("synonyms"),
			Oxidised: r.species("oxidised"), Reduced: r.species("reduced"),
			Potential: r.number("potential_v", -4, 4), Uncertainty: r.number("uncertainty_v", 0, 0.2),
			Group: r.oneOf("group", append([]string{""}, outsideMaterials...)...),
			Note:  r.optionalText("note"), Sources: t.sourceKeys(r),
		}
		if _, err := t.Component(c.Oxidised.String()); err != nil {
			r.fail("oxidised", "a component")
		}
		if c.Reduced.Formula.Hill() != c.Oxidised.Formula.Hill() || c.Electrons() <= 0 {
			r.fail("reduced", fmt.Sprintf("the same atoms as %s, of lower charge", c.Oxidised))
		}
		if taken := t.couples.add(c, c.ID, c.Name, c.Synonyms...); taken != "" {
			r.fail("synonyms", fmt.Sprintf("names that no other couple has; %q is taken", taken))
		}
	}
	return rows.err()
}
