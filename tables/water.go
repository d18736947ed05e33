package tables

import (
	"errors"
	"fmt"
	"io/fs"
	"iter"
	"math"

	"example.com/chelation/chem"
)

// Ion is a dissolved ion with its concentration in mol/L.
type Ion struct {
	Species       chem.Species
	Concentration float64 // mol/L
}

// Water is a natural or treated water, told by what a test kit measures:
// hardness, alkalinity, pH. Slices are shared and must not be changed.
//
// The charge of its strong ions is the alkalinity: what they lack of balance
// is held by bicarbonate, carbonate and hydroxide, whose amounts follow from
// alkalinity and pH. The sum closes exactly by adjusting one ion, Closing.
type Water struct {
	ID       string
	Name     string
	Synonyms []string
	// Ions are the strong ions, each once, in the order Ca2+, Mg2+, Na+, K+,
	// Fe2+, Cl-, SO4(2-); those that are absent are left out.
	Ions       []Ion
	Alkalinity Alkalinity
	PH         float64
	// Closing is the ion whose amount was set to balance the charge: Na+ or
	// Cl-, or empty if the water holds no ions.
	Closing string
	Note    string
	Sources []string
}

// The strong ions of waters.
var (
	calcium   = mustSpecies("Ca2+")
	magnesium = mustSpecies("Mg2+")
	sodium    = mustSpecies("Na+")
	potassium = mustSpecies("K+")
	ferrous   = mustSpecies("Fe2+")
	chloride  = mustSpecies("Cl-")
	sulfate   = mustSpecies("SO4(2-)")
)

// mustSpecies reads a species that is written in this package's own code.
func mustSpecies(s string) chem.Species {
	x, err := chem.ParseSpecies(s)
	if err != nil {
		panic(err)
	}
	return x
}

// Concentration returns the concentration of a strong ion, mol/L.
func (w Water) Concentration(s chem.Species) float64 {
	for _, ion := range w.Ions {
		if ion.Species.Equal(s) {
			return ion.Concentration
		}
	}
	return 0
}

// Hardness returns the sum of calcium and magnesium.
func (w Water) Hardness() Hardness {
	return Hardness(w.Concentration(calcium) + w.Concentration(magnesium))
}

// ErrWater is wrapped by the errors of NewWater.
var ErrWater = errors.New("tables: bad water")

// NewWater returns a water of given hardness, of which calcium is the given
// share (0 to 1; 0.7 is usual), alkalinity, and pH from 4.5 to 10.5. Sodium
// closes the charge where alkalinity exceeds hardness, chloride where hardness
// exceeds alkalinity. Errors wrap ErrWater.
func NewWater(name string, hardness Hardness, calciumShare float64, alkalinity Alkalinity, pH float64) (Water, error) {
	for _, x := range []struct {
		field            string
		value, low, high float64
	}{
		{"hardness in mol/L", float64(hardness), 0, maxHardness},
		{"calcium share of the hardness", calciumShare, 0, 1},
		{"alkalinity in eq/L", float64(alkalinity), 0, maxHardness},
		{"pH", pH, 4.5, 10.5},
	} {
		if !(x.value >= x.low && x.value <= x.high) {
			return Water{}, fmt.Errorf("%w %q: %s is %g: want %g to %g", ErrWater, name, x.field, x.value, x.low, x.high)
		}
	}
	w := Water{Name: name, Alkalinity: alkalinity, PH: pH}
	w.setIon(calcium, calciumShare*float64(hardness))
	w.setIon(magnesium, (1-calciumShare)*float64(hardness))
	switch lack := w.lackOfAnions(); {
	case lack > 0:
		w.setIon(chloride, lack)
		w.Closing = chloride.String()
	case lack < 0:
		w.setIon(sodium, -lack)
		w.Closing = sodium.String()
	}
	return w, nil
}

// setIon adds an ion if there is any of it.
func (w *Water) setIon(s chem.Species, concentration float64) {
	if concentration > 0 {
		w.Ions = append(w.Ions, Ion{s, concentration})
	}
}

// lackOfAnions returns the charge of the strong ions less the alkalinity,
// eq/L: zero once the water is closed.
func (w Water) lackOfAnions() float64 {
	sum := -float64(w.Alkalinity)
	for _, ion := range w.Ions {
		sum += float64(ion.Species.Formula.Charge()) * ion.Concentration
	}
	return sum
}

// Water returns the water of that id, name or synonym. The error is a
// *NotFoundError.
func (t *Tables) Water(name string) (Water, error) { return t.waters.find(name) }

// Waters yields all waters, roughly from soft to hard.
func (t *Tables) Waters() iter.Seq[Water] { return t.waters.all() }

const waterFile = "waters.csv"

// loadWaters reads hardness and alkalinity in mg/L as CaCO3 and the other ions
// in mg/L of the ion.
func (t *Tables) loadWaters(fsys fs.FS) error {
	rows, err := readCSV(fsys, waterFile,
		"id", "name", "synonyms", "calcium", "magnesium", "alkalinity", "ph",
		"sodium", "potassium", "chloride", "sulfate", "iron", "closing", "note", "source")
	if err != nil {
		return err
	}
	t.waters.kind = "water"
	for _, r := range rows.rows {
		w := t.water(r)
		if taken := t.waters.add(w, w.ID, w.Name, w.Synonyms...); taken != "" {
			r.fail("synonyms", fmt.Sprintf("names that no other water has; %q is taken", taken))
		}
	}
	return rows.err()
}

func (t *Tables) water(r row) Water {
	w := Water{
		ID: r.text("id"), Name: r.text("name"), Synonyms: r.list("synonyms"),
		PH:   r.number("ph", 4.5, 10.5),
		Note: r.optionalText("note"), Sources: t.sourceKeys(r),
	}
	perLitre := func(column string, f chem.Formula) float64 { // mol/L
		return r.number(column, 0, 5000) / 1000 / f.MolarMass()
	}
	w.Alkalinity = Alkalinity(2 * perLitre("alkalinity", calciumCarbonate))
	amounts := []Ion{
		{calcium, perLitre("calcium", calciumCarbonate)},
		{magnesium, perLitre("magnesium", calciumCarbonate)},
		{sodium, perLitre("sodium", sodium.Formula)},
		{potassium, perLitre("potassium", potassium.Formula)},
		{ferrous, perLitre("iron", ferrous.Formula)},
		{chloride, perLitre("chloride", chloride.Formula)},
		{sulfate, perLitre("sulfate", sulfate.Formula)},
	}
	open := Water{Ions: amounts, Alkalinity: w.Alkalinity}
	lack := open.lackOfAnions()
	closing := r.oneOf("closing", "Na+", "Cl-", "none")
	if closing != "none" {
		w.Closing = closing
	}
	for i, ion := range amounts {
		if ion.Species.String() == w.Closing {
			amounts[i].Concentration -= lack / float64(ion.Species.Formula.Charge())
		}
		if amounts[i].Concentration < 0 {
			r.fail("closing", fmt.Sprintf("an ion that can close a charge of %+.2g meq/L", 1000*lack))
		}
		w.setIon(ion.Species, amounts[i].Concentration)
	}
	if math.Abs(w.lackOfAnions()) > 1e-9 {
		r.fail("closing", fmt.Sprintf("an ion to close a charge of %+.2g meq/L", 1000*lack))
	}
	return w
}
