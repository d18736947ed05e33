package recipe

import (
	"cmp"
	"fmt"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/tables"
)

// Recipe is what the shop means to mix.
type Recipe struct {
	Water       tables.Water     // what is filled in
	Volume      unit.Volume      // of water, as filled in
	Temperature unit.Temperature // of the bath, 0 to 100 °C
	Chelant     tables.Reagent   // the bag of chelating salt
	Amount      measure.Amount   // of chelant: weighed, or level spoons
	Acid        tables.Reagent   // the reagent that sets the pH: an acid, or a base for acid salts
	PH          float64          // to be reached, 2 to 12
	Extras      []Extra          // further reagents that go in with the chelant

	// Place is how the tub stands. In an open one a dose that carbonate has a part in is
	// the one that is right for good: see [Plan.InTheOpen].
	Place bath.Place

	// Prices of the reagents by their ID; reagents that are not listed have no
	// cost in the plan.
	Prices map[string]Price
	// Materials are what is on the parts besides steel, by the names of
	// [tables.Tables.Material]; they decide which cautions apply.
	Materials []string
}

// check refuses what is no bath, and returns the mass of chelant, as a range if it is
// spooned.
func (r Recipe) check() (m measure.MassRange, err error) {
	litres := float64(r.Volume / measure.Litre)
	switch err := cmp.Or(
		chem.Within("Volume", litres, 0.05, 1e5, "L"), chem.Within("PH", r.PH, 2, 12, ""),
		chem.Within("Temperature", float64(r.Temperature-chem.Celsius(0)), 0, 100, "°C")); {
	case err != nil:
		return m, err
	case r.Chelant.Chelant.Hill() == "":
		return m, notChelating("Chelant", r.Chelant)
	case r.Acid.ID == "":
		return m, &chem.InputError{Field: "Acid", Value: "missing", Want: "a reagent to set the pH with"}
	}
	for _, e := range r.Extras {
		if e.Reagent.ID == "" || !(e.Mass >= 0 && float64(e.Mass) <= litres) {
			return m, &chem.InputError{Field: "Extras", Value: fmt.Sprintf("%.4g g of %s", 1000*float64(e.Mass), e.Reagent.String()), Want: "reagents of 0 to 1000 g per litre of water"}
		}
	}
	if m, err = r.Amount.Weigh(r.Chelant.Packing()); err != nil {
		return m, &chem.InputError{Field: "Amount", Value: r.Amount.String(), Want: "a mass, or a volume of a powder of known bulk density", Err: err}
	}
	if g := m.TypicalGrams / litres; !(g > 0 && g <= 400) {
		return m, &chem.InputError{Field: "Amount", Value: fmt.Sprintf("%.0f g per litre", g), Want: "above 0 to 400 g per litre of water"}
	}
	return m, nil
}

func notChelating(field string, r tables.Reagent) error {
	return &chem.InputError{Field: field, Value: r.String(), Want: "a reagent with a chelating anion"}
}

// with lists reagents and the extras.
func (r Recipe) with(reagents ...tables.Reagent) []tables.Reagent {
	for _, e := range r.Extras {
		reagents = append(reagents, e.Reagent)
	}
	return reagents
}

// undosed mixes water, a mass of chelant and extras.
func (r Recipe) undosed(t *tables.Tables, chelant unit.Mass) (*solution.Solution, error) {
	s, err := solution.New(t, r.Temperature)
	if err != nil {
		return nil, err
	}
	if err := s.AddWater(r.Water, r.Volume); err != nil {
		return nil, &chem.InputError{Field: "Water", Value: r.Water.Name, Want: "an alkalinity and a pH that go together", Err: err}
	}
	for _, e := range append([]Extra{{r.Chelant, chelant}}, r.Extras...) {
		if err := s.Add(e.Reagent, e.Mass); err != nil {
			return nil, err
		}
	}
	return s, nil
}

// Mix works the recipe out and returns the bath with its acid in. Errors are
// those of [Recipe.Plan].
func (r Recipe) Mix(t *tables.Tables) (*bath.Bath, error) {
	m, err := r.mix(t, tables.Reagent{})
	if err != nil {
		return nil, err
	}
	return r.tub(t, m.vessel)
}

// tub returns a vessel as the bath that it is, in its place.
func (r Recipe) tub(t *tables.Tables, v *solution.Solution) (*bath.Bath, error) {
	b, err := bath.New(t, v)
	if err != nil {
		return nil, err
	}
	return b, b.Stand(r.Place)
}
