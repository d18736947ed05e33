package tables

import (
	"cmp"
	"slices"

	"example.com/chelation/chem"
)

// Ion is a dissolved ion with its concentration in mol/L.
type Ion struct {
	Species     chem.Species `json:"species"`
	MolPerLitre float64      `json:"mol_per_l"`
}

// Water is a natural or treated water, told by what a test kit measures: hardness, alkalinity, pH.
//
// The charge of its strong ions is the alkalinity: what they lack of balance is held by
// bicarbonate, carbonate and hydroxide, whose amounts follow from alkalinity and pH. The sum closes
// exactly, by chloride where anions are missing and by sodium where cations are.
type Water struct {
	Entry
	Ions       []Ion      `json:"ions"` // strong ones, each once: of Ca2+, Mg2+, Na+, K+, Fe2+, Cl-, SO4(2-) those that are there
	Alkalinity Alkalinity `json:"alkalinity_eq_per_l"`
	PH         float64    `json:"ph"`
}

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

// lowPH and highPH bound the pH of natural waters; beyond them carbonate alone does not make the
// alkalinity.
const lowPH, highPH = 4.5, 10.5

// UsualCalciumShare is that of calcium in the hardness of tap water: common practice, no source.
const UsualCalciumShare = 0.7

// NewWater returns a water of given hardness, of which calcium is the given share (0 to 1),
// alkalinity, and pH from 4.5 to 10.5.
func NewWater(name string, hardness Hardness, calciumShare float64, alkalinity Alkalinity, pH float64) (Water, error) {
	if err := cmp.Or(
		chem.Within("hardness", float64(hardness), 0, maxHardness, "mol/L"),
		chem.Within("calcium share of the hardness", calciumShare, 0, 1, ""),
		chem.Within("alkalinity", float64(alkalinity), 0, maxHardness, "eq/L"),
		chem.Within("pH", pH, lowPH, highPH, ""),
	); err != nil {
		return Water{}, err
	}
	w := Water{Entry: Entry{Name: name}, Alkalinity: alkalinity, PH: pH}
	w.close([]Ion{{calcium, calciumShare * float64(hardness)}, {magnesium, (1 - calciumShare) * float64(hardness)}, {sodium, 0}, {chloride, 0}})
	return w, nil
}

// close adds the ions that there are, sodium or chloride so much more that they balance the
// alkalinity.
func (w *Water) close(ions []Ion) {
	lack := -float64(w.Alkalinity) // of anions, eq/L
	for _, ion := range ions {
		lack += float64(ion.Species.Formula.Charge()) * ion.MolPerLitre
	}
	for _, ion := range ions {
		switch {
		case ion.Species.Equal(chloride):
			ion.MolPerLitre += max(lack, 0)
		case ion.Species.Equal(sodium):
			ion.MolPerLitre += max(-lack, 0)
		}
		if ion.MolPerLitre > 0 {
			w.Ions = append(w.Ions, ion)
		}
	}
}

// Water returns the water of that id, name or synonym.
func (t *Tables) Water(name string) (Water, error) { return listed[Water](t).find("water", name) }

func (r row) water() Water {
	w := Water{Entry: r.entry(), PH: r.number("ph", lowPH, highPH)}
	perLitre := func(column string, f chem.Formula) float64 { // mol/L
		return r.number(column, 0, mostPrinted) / 1000 / f.MolarMass()
	}
	w.Alkalinity = Alkalinity(2 * perLitre("alkalinity", calciumCarbonate))
	w.close([]Ion{
		{calcium, perLitre("calcium", calciumCarbonate)},
		{magnesium, perLitre("magnesium", calciumCarbonate)},
		{sodium, perLitre("sodium", sodium.Formula)},
		{potassium, perLitre("potassium", potassium.Formula)},
		{ferrous, perLitre("iron", ferrous.Formula)},
		{chloride, perLitre("chloride", chloride.Formula)},
		{sulfate, perLitre("sulfate", sulfate.Formula)},
	})
	return w
}
