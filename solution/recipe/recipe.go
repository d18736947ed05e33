package recipe

import (
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

	// AlkalinityTolerance is how far the alkalinity of the water may be off, as
	// a fraction: 0 takes 0.15, what a shop test kit allows.
	AlkalinityTolerance float64
	// Prices of the reagents by their ID; reagents that are not listed have no
	// cost in the plan.
	Prices map[string]Price
	// Materials are what is on the parts besides steel, by the names of
	// [tables.Tables.Material]; they decide which cautions apply.
	Materials []string
}

func (r Recipe) check() error {
	litres := float64(r.Volume) * 1000
	switch {
	case !(litres >= 0.05 && litres <= 1e5):
		return &chem.InputError{Field: "Volume", Value: fmt.Sprintf("%.4g L", litres), Want: "0.05 L to 100 000 L"}
	case r.Chelant.Chelant.Hill() == "":
		return &chem.InputError{Field: "Chelant", Value: r.Chelant.String(), Want: "a reagent with a chelating anion"}
	case r.Acid.ID == "":
		return &chem.InputError{Field: "Acid", Value: "missing", Want: "a reagent to set the pH with"}
	case !(r.PH >= 2 && r.PH <= 12):
		return &chem.InputError{Field: "PH", Value: fmt.Sprint(r.PH), Want: "2 to 12"}
	case !(r.Temperature >= 273.15 && r.Temperature <= 373.15):
		return &chem.InputError{Field: "Temperature", Value: measure.FormatTemperature(r.Temperature), Want: "0 to 100 °C"}
	case !(r.AlkalinityTolerance >= 0 && r.AlkalinityTolerance < 1):
		return &chem.InputError{Field: "AlkalinityTolerance", Value: fmt.Sprint(r.AlkalinityTolerance), Want: "a number from 0 to below 1"}
	}
	for _, e := range r.Extras {
		if e.Reagent.ID == "" || !(e.Mass >= 0 && float64(e.Mass) <= litres) {
			return &chem.InputError{Field: "Extras", Value: fmt.Sprintf("%.4g g of %s", 1000*float64(e.Mass), e.Reagent.String()), Want: "reagents of 0 to 1000 g per litre of water"}
		}
	}
	m, err := r.chelantMass()
	if err != nil {
		return &chem.InputError{Field: "Amount", Value: r.Amount.String(), Want: "a mass, or a volume of a powder of known bulk density", Err: err}
	}
	if g := m.TypicalGrams / litres; !(g > 0 && g <= 400) {
		return &chem.InputError{Field: "Amount", Value: fmt.Sprintf("%.3g g per litre", g), Want: "above 0 to 400 g per litre of water"}
	}
	return nil
}

// reagents lists what goes into the bath.
func (r Recipe) reagents() []tables.Reagent {
	out := []tables.Reagent{r.Chelant, r.Acid}
	for _, e := range r.Extras {
		out = append(out, e.Reagent)
	}
	return out
}

// chelantMass returns the mass of chelant, as a range if it is spooned.
func (r Recipe) chelantMass() (measure.MassRange, error) {
	return r.Amount.Weigh(r.Chelant.Packing())
}

// undosed mixes water, chelant and extras.
func (r Recipe) undosed(t *tables.Tables) (*solution.Solution, error) {
	s, err := solution.New(t, r.Temperature)
	if err != nil {
		return nil, err
	}
	if err := s.AddWater(r.Water, r.Volume); err != nil {
		return nil, &chem.InputError{Field: "Water", Value: r.Water.Name, Want: "an alkalinity and a pH that go together", Err: err}
	}
	m, err := r.chelantMass()
	if err != nil {
		return nil, err
	}
	if err := s.Add(r.Chelant, m.Typical()); err != nil {
		return nil, err
	}
	for _, e := range r.Extras {
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
