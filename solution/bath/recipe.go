package bath

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// ErrRecipe is wrapped by every complaint about a recipe.
var ErrRecipe = errors.New("bath: bad recipe")

// RecipeError tells which part of a recipe was refused.
type RecipeError struct {
	Field string // name of the field of Recipe
	Value string // what it holds
	Want  string // what was expected
	Err   error  // the reason underneath, or nil
}

// Error tells all of it on one line.
func (e *RecipeError) Error() string {
	text := fmt.Sprintf("%v: %s is %s: want %s", ErrRecipe, e.Field, e.Value, e.Want)
	if e.Err != nil {
		text += " (" + e.Err.Error() + ")"
	}
	return text
}

// Unwrap gives ErrRecipe and the reason underneath.
func (e *RecipeError) Unwrap() []error { return []error{ErrRecipe, e.Err} }

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

	// AlkalinityTolerance is how far the alkalinity of the water may be off, as
	// a fraction: 0 takes 0.15, what a shop test kit allows.
	AlkalinityTolerance float64
	// Prices of the reagents by their ID; reagents that are not listed have no
	// cost in the plan.
	Prices map[string]Price
	// Materials are what is on the parts besides steel, as in [Materials]; they
	// decide which cautions apply.
	Materials []string
}

func (r Recipe) check() error {
	litres := float64(r.Volume) * 1000
	switch {
	case !(litres >= 0.05 && litres <= 1e5):
		return &RecipeError{Field: "Volume", Value: fmt.Sprintf("%.4g L", litres), Want: "0.05 L to 100 000 L"}
	case r.Chelant.Chelant.Hill() == "":
		return &RecipeError{Field: "Chelant", Value: named(r.Chelant), Want: "a reagent with a chelating anion"}
	case r.Acid.ID == "":
		return &RecipeError{Field: "Acid", Value: "missing", Want: "a reagent to set the pH with"}
	case !(r.PH >= 2 && r.PH <= 12):
		return &RecipeError{Field: "PH", Value: fmt.Sprint(r.PH), Want: "2 to 12"}
	case !(r.Temperature >= 273.15 && r.Temperature <= 373.15):
		return &RecipeError{Field: "Temperature", Value: measure.FormatTemperature(r.Temperature), Want: "0 to 100 °C"}
	case !(r.AlkalinityTolerance >= 0 && r.AlkalinityTolerance < 1):
		return &RecipeError{Field: "AlkalinityTolerance", Value: fmt.Sprint(r.AlkalinityTolerance), Want: "a number from 0 to below 1"}
	}
	for _, m := range r.Materials {
		if !slices.Contains(Materials(), m) {
			return &RecipeError{Field: "Materials", Value: strconv.Quote(m), Want: "any of " + strings.Join(Materials(), ", ")}
		}
	}
	for _, e := range r.Extras {
		if e.Reagent.ID == "" || !(e.Mass >= 0 && float64(e.Mass) <= litres) {
			return &RecipeError{Field: "Extras", Value: fmt.Sprintf("%.4g g of %s", 1000*float64(e.Mass), named(e.Reagent)), Want: "reagents of 0 to 1000 g per litre of water"}
		}
	}
	m, err := r.chelantMass()
	if err != nil {
		return &RecipeError{Field: "Amount", Value: r.Amount.String(), Want: "a mass, or a volume of a powder of known bulk density", Err: err}
	}
	if g := float64(m.Typical) * 1000 / litres; !(g > 0 && g <= 400) {
		return &RecipeError{Field: "Amount", Value: fmt.Sprintf("%.3g g per litre", g), Want: "above 0 to 400 g per litre of water"}
	}
	return nil
}

func named(r tables.Reagent) string {
	if r.ID == "" {
		return "missing"
	}
	return r.Name
}

// chelantMass returns the mass of chelant, as a range if it is spooned.
func (r Recipe) chelantMass() (measure.MassRange, error) {
	return r.Amount.Weigh(r.Chelant.Packing())
}

// vessel mixes water, chelant and extras.
func (r Recipe) vessel(t *tables.Tables) (*solution.Solution, error) {
	s, err := solution.New(t, r.Temperature)
	if err != nil {
		return nil, err
	}
	if err := s.AddWater(r.Water, r.Volume); err != nil {
		return nil, &RecipeError{Field: "Water", Value: r.Water.Name, Want: "an alkalinity and a pH that go together", Err: err}
	}
	m, err := r.chelantMass()
	if err != nil {
		return nil, err
	}
	if err := s.Add(r.Chelant, m.Typical); err != nil {
		return nil, err
	}
	for _, e := range r.Extras {
		if err := s.Add(e.Reagent, e.Mass); err != nil {
			return nil, err
		}
	}
	return s, nil
}

// spread is a figure with the range that holds about nine cases in ten.
func spread(typical float64, variations [][2]float64) tables.Range {
	down, up := 0.0, 0.0
	for _, v := range variations {
		low, high := min(v[0], v[1]), max(v[0], v[1])
		down = math.Hypot(down, max(0, typical-low))
		up = math.Hypot(up, max(0, high-typical))
	}
	return tables.Range{Low: typical - down, Typical: typical, High: typical + up}
}
