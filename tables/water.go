package tables

import (
	"fmt"
	"iter"
	"math"
	"slices"

	"example.com/chelation/chem"
)

// Ion is a dissolved ion with its concentration in mol/L.
type Ion struct {
	Species     chem.Species `json:"species"`
	MolPerLitre float64      `json:"mol_per_l"`
}

// Water is a natural or treated water, told by what a test kit measures:
// hardness, alkalinity, pH.
//
// The charge of its strong ions is the alkalinity: what they lack of balance
// is held by bicarbonate, carbonate and hydroxide, whose amounts follow from
// alkalinity and pH. The sum closes exactly by adjusting one ion, Closing.
type Water struct {
	Entry
	// Ions are the strong ions, each once, in the order Ca2+, Mg2+, Na+, K+,
	// Fe2+, Cl-, SO4(2-); those that are absent are left out.
	Ions       []Ion      `json:"ions"`
	Alkalinity Alkalinity `json:"alkalinity_eq_per_l"`
	PH         float64    `json:"ph"`
	// Closing is the ion whose amount was set to balance the charge: Na+ or
	// Cl-, or empty if the water holds no ions.
	Closing string `json:"closing,omitempty"`
}

// The strong ions of waters.
var (
	calcium   = must(chem.ParseSpecies("Ca2+"))
	magnesium = must(chem.ParseSpecies("Mg2+"))
	sodium    = must(chem.ParseSpecies("Na+"))
	potassium = must(chem.ParseSpecies("K+"))
	ferrous   = must(chem.ParseSpecies("Fe2+"))
	chloride  = must(chem.ParseSpecies("Cl-"))
	sulfate   = must(chem.ParseSpecies("SO4(2-)"))
)

// Concentration returns the concentration of a strong ion, mol/L.
func (w Water) Concentration(s chem.Species) float64 {
	for _, ion := range w.Ions {
		if ion.Species.Equal(s) {
			return ion.MolPerLitre
		}
	}
	return 0
}

// Times returns a water of f times the ions and the alkalinity.
func (w Water) Times(f float64) Water {
	w.Alkalinity *= Alkalinity(f)
	w.Ions = slices.Clone(w.Ions)
	for i := range w.Ions {
		w.Ions[i].MolPerLitre *= f
	}
	return w
}

// Hardness returns the sum of calcium and magnesium.
func (w Water) Hardness() Hardness {
	return Hardness(w.Concentration(calcium) + w.Concentration(magnesium))
}

// lowPH and highPH bound the pH of natural waters; beyond them carbonate alone
// does not make the alkalinity.
const lowPH, highPH = 4.5, 10.5

// NewWater returns a water of given hardness, of which calcium is the given
// share (0 to 1; 0.7 is usual), alkalinity, and pH from 4.5 to 10.5. Sodium
// closes the charge where alkalinity exceeds hardness, chloride where hardness
// exceeds alkalinity.
func NewWater(name string, hardness Hardness, calciumShare float64, alkalinity Alkalinity, pH float64) (Water, error) {
	for _, err := range []error{
		chem.Within("hardness", float64(hardness), 0, maxHardness, "mol/L"),
		chem.Within("calcium share of the hardness", calciumShare, 0, 1, ""),
		chem.Within("alkalinity", float64(alkalinity), 0, maxHardness, "eq/L"),
		chem.Within("pH", pH, lowPH, highPH, ""),
	} {
		if err != nil {
			return Water{}, err
		}
	}
	w := Water{Entry: Entry{Name: name}, Alkalinity: alkalinity, PH: pH}
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
		sum += float64(ion.Species.Formula.Charge()) * ion.MolPerLitre
	}
	return sum
}

// Water returns the water of that id, name or synonym.
func (t *Tables) Water(name string) (Water, error) { return t.waters.find("water", name) }

// Waters yields all waters, roughly from soft to hard.
func (t *Tables) Waters() iter.Seq[Water] { return t.waters.all() }

func (r row) water() Water {
	w := Water{Entry: r.entry(), PH: r.number("ph", lowPH, highPH)}
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
	closing := oneOf(r, "closing", "Na+", "Cl-", "none")
	if closing != "none" {
		w.Closing = closing
	}
	for i, ion := range amounts {
		if ion.Species.String() == w.Closing {
			amounts[i].MolPerLitre -= lack / float64(ion.Species.Formula.Charge())
		}
		if amounts[i].MolPerLitre < 0 {
			r.fail("closing", fmt.Sprintf("an ion that can close a charge of %+.2g meq/L", 1000*lack))
		}
		w.setIon(ion.Species, amounts[i].MolPerLitre)
	}
	if math.Abs(w.lackOfAnions()) > 1e-9 {
		r.fail("closing", fmt.Sprintf("an ion to close a charge of %+.2g meq/L", 1000*lack))
	}
	return w
}
