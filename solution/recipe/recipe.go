package recipe

import (
	"cmp"
	"errors"
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
	Base        tables.Reagent   // sets the pH in the place of Acid where the bath starts below it; may be left out
	PH          float64          // to be reached, 2 to 12
	Extras      []Extra          // further reagents that go in with the chelant
	Place       bath.Place       // how the tub stands: see [Plan.InTheOpen]
	Prices      map[string]Price // of reagents by their ID
	Materials   []string         // on the parts besides steel, by the names of [tables.Tables.Material]
}

// A pH that is asked for lies between these.
const lowestPH, highestPH = 2, 12

// check refuses what is no bath, and returns the mass of chelant.
func (r Recipe) check() (m measure.MassRange, err error) {
	litres := float64(r.Volume / measure.Litre)
	switch err := cmp.Or(
		chem.Within("Volume", litres, 0.05, 1e5, "L"), chem.Within("PH", r.PH, lowestPH, highestPH, ""),
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
	return m, chem.Within("Amount", m.TypicalGrams/litres, 0.001, 400, "g/L of water")
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

// Mix returns the bath with its acid in. Errors are those of [Recipe.Plan].
func (r Recipe) Mix(t *tables.Tables) (*bath.Bath, error) {
	m, err := r.mix(t)
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

// mixture is a recipe mixed.
type mixture struct {
	chelant measure.MassRange
	fresh   *solution.Solution // before the dose
	vessel  *solution.Solution
	setter  tables.Reagent // the acid of the recipe, or a base in its place
	dose    solution.Dose
	dosing  bath.Dosing // for now and for good
	open    bool        // the dose is the one for good, in an open tub
	noIron  string      // why what the bath takes is not computed, where that is so
}

// mix mixes water, chelant and extras and brings them to the pH.
func (r Recipe) mix(t *tables.Tables) (m mixture, err error) {
	if m.chelant, err = r.check(); err != nil {
		return m, err
	}
	if m.fresh, err = solution.New(t, r.Temperature); err != nil {
		return m, err
	}
	if err := m.fresh.AddWater(r.Water, r.Volume); err != nil {
		return m, &chem.InputError{Field: "Water", Value: r.Water.Name, Want: "an alkalinity and a pH that go together", Err: err}
	}
	for _, e := range append([]Extra{{r.Chelant, m.chelant.Typical()}}, r.Extras...) {
		err = cmp.Or(err, m.fresh.Add(e.Reagent, e.Mass))
	}
	start, err2 := m.fresh.Equilibrate()
	if err = cmp.Or(err, err2); err != nil {
		return m, err
	}
	if r.Base.ID != "" && start.PH < r.PH {
		r.Acid = r.Base
	}
	m.setter = r.Acid
	if err := m.measure(t, r); err != nil {
		return m, r.reword(err)
	}
	m.dose = solution.Dose{MassGrams: m.dosing.AdvisedGrams, Before: start}
	m.vessel = m.fresh.Clone()
	if _, err = m.vessel.AddFizzing(m.setter, m.dose.Mass()); err == nil {
		m.dose.After, err = m.vessel.Equilibrate()
	}
	return m, err
}

// measure finds the doses for now and for good, and which of them the place asks for.
func (m *mixture) measure(t *tables.Tables, r Recipe) error {
	b, err := r.tub(t, m.fresh)
	if errors.Is(err, bath.ErrNoIron) {
		m.noIron = r.Chelant.Name + ": " + bath.ErrNoIron.Error() + " for it, so that what its bath takes is not computed."
		m.dosing, err = r.Place.Dose(m.fresh, m.setter, r.PH)
	} else if err == nil {
		m.dosing, err = b.OpenDose(m.setter, r.PH)
	}
	m.open = r.Place.Open() && err == nil
	if r.Place.Open() && errors.Is(err, solution.ErrUnreachable) { // as it is closed, or an error that tells why not
		m.dosing, err = bath.Place{}.Dose(m.fresh, m.setter, r.PH)
	}
	return err
}

// reword puts the recipe's words on a target out of reach.
func (r Recipe) reword(err error) error {
	var u *solution.UnreachableError
	if !errors.As(err, &u) {
		return err
	}
	x := &chem.InputError{Field: "Acid", Value: r.Acid.Name, Kind: err}
	switch {
	case u.Start < r.PH && u.Limit < u.Start:
		x.Want = fmt.Sprintf("a base, because the bath starts at pH %.1f, below the pH wanted", u.Start)
	case u.Start > r.PH && u.Limit > u.Start:
		x.Want = fmt.Sprintf("an acid, because the bath starts at pH %.1f, above the pH wanted", u.Start)
	default:
		x.Want, x.Err = "a reagent that reaches the pH wanted", err
	}
	return x
}
