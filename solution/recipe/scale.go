package recipe

import (
	"cmp"
	"slices"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/tables"
)

// Scale returns the recipe for another volume of water, with the same mass of everything per
// litre. Amounts told in spoons become masses at the typical packing.
func (r Recipe) Scale(volume unit.Volume) (Recipe, error) {
	m, err := r.check()
	if err != nil {
		return Recipe{}, err
	}
	f := float64(volume / r.Volume)
	r.Volume, r.Amount, r.Extras = volume, measure.Amount{MassGrams: f * m.TypicalGrams}, slices.Clone(r.Extras)
	for i := range r.Extras {
		r.Extras[i].Mass *= unit.Mass(f)
	}
	_, err = r.check()
	return r, err
}

// TopUp is what brings a bath back to its volume at its strength.
type TopUp struct {
	WaterLitres float64            `json:"water_l"`
	Chelant     solution.Portion   `json:"chelant"`
	Acid        solution.Portion   `json:"acid"`
	Extras      []solution.Portion `json:"extras,omitempty"`
	Text        string             `json:"text"`
}

// TopUp makes up for what left on the parts, which took chelant and acid with it, and for what
// evaporated, which took none.
func (r Recipe) TopUp(t *tables.Tables, dragOut, evaporated unit.Volume) (TopUp, error) {
	m, err := r.mix(t)
	if err != nil {
		return TopUp{}, err
	}
	whole := m.vessel.Volume()
	litres := float64(whole / measure.Litre)
	if err := cmp.Or(chem.Within("drag-out", float64(dragOut/measure.Litre), 0, litres, "L"),
		chem.Within("evaporated", float64(evaporated/measure.Litre), 0, litres, "L")); err != nil {
		return TopUp{}, err
	}
	f := float64(dragOut / whole)
	water := evaporated + unit.Volume(f)*r.Volume
	var all []solution.Portion
	var stirred []string
	for _, e := range append([]Extra{{r.Chelant, m.chelant.Typical()}, {m.setter, m.dose.Mass()}}, r.Extras...) {
		p := solution.NewPortion(e.Reagent, unit.Mass(f)*e.Mass)
		all, stirred = append(all, p), append(stirred, p.Text()+" of "+p.Name)
	}
	u := TopUp{WaterLitres: float64(water / measure.Litre), Chelant: all[0], Acid: all[1], Text: "Nothing is missing."}
	if len(all) > 2 {
		u.Extras = all[2:]
	}
	if water > 0 {
		u.Text = "Fill up with " + measure.FormatVolume(water) + " of water"
		if f > 0 {
			u.Text += ", and stir in " + strings.Join(stirred, " and ")
		}
		u.Text += "."
	}
	return u, nil
}

// Batch is what a bag makes.
type Batch struct {
	BathLitres float64       `json:"bath_l"`
	Capacity   bath.Capacity `json:"chelant_capacity"` // one iron for each chelant, in soft water
}

// Bag returns what a bag of a chelating salt makes at a strength of 0.001 to 1 mol/L.
func Bag(salt tables.Reagent, bag unit.Mass, strength float64) (Batch, error) {
	if salt.Chelant.Hill() == "" {
		return Batch{}, notChelating("salt", salt)
	}
	if err := cmp.Or(chem.Within("mass of the bag", float64(bag), 0.001, 1e5, "kg"), chem.Within("strength", strength, 0.001, 1, "mol/L")); err != nil {
		return Batch{}, err
	}
	n := float64(bag/measure.Gram) * salt.MolPerGram().Typical
	return Batch{n / strength, bath.IronCapacity(unit.Mole(n))}, nil
}
