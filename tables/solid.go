package tables

import (
	"io/fs"
	"strings"

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
	Entry
	Species        chem.Species `json:"species"`
	DensityKgPerM3 float64      `json:"density_kg_per_m3,omitempty"` // 0 if unknown
	Forms          Forming      `json:"forms"`                       // whether it comes down by itself
	// LogK is log10 K of the fitted reaction that dissolves it, at 25 °C and zero ionic strength.
	// Its ends hold nine cases in ten by the uncertainty of the constant and reach to the samples
	// that rows call "extreme: ".
	LogK Range `json:"log10_k_of_dissolution"`
}

func (e Equilibrium) solubility() Range {
	const nineInTen = 1.645 // standard deviations to either side, as in package spread, which stands above
	half := nineInTen * e.Sigma(chem.ReferenceTemperature, 0)
	x := Range{e.LogK - half, e.LogK, e.LogK + half}
	for _, o := range e.Observations {
		if strings.Contains(o.Note, "extreme: ") {
			x.Low, x.High = min(x.Low, e.LogK+o.Residual), max(x.High, e.LogK+o.Residual)
		}
	}
	return x
}

func (t *Tables) loadSolids(files []fs.FS) error {
	rows := t.read(files, "solids.csv")
	for _, r := range rows.rows {
		s := Solid{Entry: r.entry(), Species: r.species("species"), Forms: oneOf(r, "forms", Forms, FormsAsked, FormsNever)}
		if r.optionalText("density_g_cm3") != "" {
			s.DensityKgPerM3 = 1000 * r.number("density_g_cm3", 0.5, 15)
		}
		if i, ok := t.bySpecies[s.ID]; !ok || s.Species.Phase != chem.Solid {
			r.fail("species", "a solid with a constant")
		} else {
			s.LogK = t.equilibria[t.formations[i].Steps[0].Equilibrium].solubility()
		}
		add(r, s)
	}
	for _, f := range t.formations {
		if f.Species.Phase == chem.Solid && !listed[Solid](t).has(f.Species.String()) {
			rows.lack(f.Species.String(), "a row for it, since it has a constant")
		}
	}
	return rows.err()
}

// Solid finds a solid by formula, name or synonym.
func (t *Tables) Solid(name string) (Solid, error) {
	return listed[Solid](t).find("solid", t.canonical(name))
}
