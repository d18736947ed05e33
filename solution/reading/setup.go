package reading

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/tables"
)

// Candidate is a salt that the bag may hold, with its share of belief before
// anything was seen. Weights need not add up to one.
type Candidate struct {
	Salt   tables.Reagent // a reagent with a chelating anion
	Weight float64        // relative prior probability, from 0
}

// Extra is a further reagent that is dissolved along with the bag.
type Extra struct {
	Reagent tables.Reagent
	Mass    unit.Mass // as sold, weighed
}

// Setup is what is known of a bath before the first reading, and what is wanted
// of it. The volume of the water, the temperature and the extras are taken as they
// are told.
type Setup struct {
	Water       tables.Water     // as a test kit or the supplier tells it
	Volume      unit.Volume      // of water, as filled in
	Temperature unit.Temperature // of the bath

	// Bag is what the bag may hold: salts of one chelating anion that differ in
	// sodium, potassium and protons. Nil is any powder that [Unlabelled] lists.
	Bag    []Candidate
	Amount measure.Amount // of the bag: weighed, or level spoons
	Extras []Extra        // what goes in along with the bag

	// Acid lowers the pH and Base raises it, after an overshoot or for an acid
	// salt. One of them may be missing. The first that there is sets the pH: its
	// strength and its packing are held uncertain.
	Acid, Base tables.Reagent

	// WaterTolerance is how far the ions of the water may be off nine times in
	// ten, as a fraction: 0.15 if zero, what a test kit allows. Give 1 for water
	// that nobody tested.
	WaterTolerance float64

	Target float64 // pH to reach, 2 to 12; 7 if zero
	// Low and High bound the working window, within which the pH hardly
	// matters; half a unit to either side of Target if both are zero.
	Low, High float64
	// Step is how far beyond the target counts as an overshoot: 1 if zero, a
	// step of the common strip.
	Step float64
	// Risk is the chance of an overshoot that is tolerated over the whole
	// course: 0.05 if zero.
	Risk float64
}

// usual is what a bag without a label holds in a shop that takes off rust, in
// some form.
const usual = "EDTA acid"

// Unlabelled returns the candidates of a bag without a label: every salt of EDTA
// that the tables list in a form, all equally likely.
func Unlabelled(t *tables.Tables, form tables.Form) []Candidate {
	acid, err := t.Reagent(usual)
	if err != nil {
		return nil
	}
	var bag []Candidate
	for r := range t.Reagents() {
		if r.Form == form && r.Chelant.Equal(acid.Chelant) {
			bag = append(bag, Candidate{r, 1})
		}
	}
	return bag
}

// Bounds of what goes into a litre of water, in g: beyond them a powder no longer
// dissolves, and a liquid has taken the place of the bath. They are those of a
// dose ([solution.Solution.Dose]).
const (
	mostPowder = 400
	mostLiquid = 3000
)

// most is the largest mass of a reagent in g that makes sense.
func (s *Setup) most(r tables.Reagent) float64 {
	if r.Form == tables.Liquid {
		return mostLiquid * float64(s.Volume/measure.Litre)
	}
	return mostPowder * float64(s.Volume/measure.Litre)
}

// setter returns the reagent that sets the pH, and the name of its field.
func (s *Setup) setter() (tables.Reagent, string) {
	if s.Acid.ID != "" {
		return s.Acid, "Acid"
	}
	return s.Base, "Base"
}

// settled returns an independent copy of the setup with its defaults filled in,
// or what is wrong.
func (s Setup) settled(t *tables.Tables) (Setup, error) {
	s.Bag, s.Extras = slices.Clone(s.Bag), slices.Clone(s.Extras)
	s.Water.Ions = slices.Clone(s.Water.Ions)
	if s.Bag == nil {
		s.Bag = Unlabelled(t, tables.Powder)
	}
	for _, x := range []struct {
		field    *float64
		standard float64
	}{{&s.WaterTolerance, 0.15}, {&s.Target, 7}, {&s.Step, 1}, {&s.Risk, 0.05}} {
		if *x.field == 0 {
			*x.field = x.standard
		}
	}
	if s.Low == 0 && s.High == 0 {
		s.Low, s.High = s.Target-0.5, s.Target+0.5
	}
	for _, err := range []error{
		chem.Within("Volume", float64(s.Volume/measure.Litre), 0.05, 1e5, "L"),
		chem.Within("Temperature", float64(s.Temperature)-273.15, 0, 100, "°C"),
		chem.Within("WaterTolerance", s.WaterTolerance, 0, 2, ""),
		chem.Within("Target", s.Target, 2, 12, ""),
		chem.Within("Low", s.Low, s.Target-3, s.Target, ""),
		chem.Within("High", s.High, s.Target, s.Target+3, ""),
		chem.Within("Step", s.Step, 0.05, 3, ""),
		chem.Within("Risk", s.Risk, 0.001, 0.5, ""),
	} {
		if err != nil {
			return s, err
		}
	}
	if r, field := s.setter(); r.ID == "" {
		return s, &chem.InputError{Field: field, Value: r.String(), Want: "a base, or an acid in Acid"}
	}
	if s.Base.ID != "" && s.Acid.ID != "" && !slices.Contains(s.Base.Groups, "base") {
		return s, &chem.InputError{Field: "Base", Value: s.Base.String(), Want: "a base"}
	}
	for _, x := range s.Extras {
		if err := chem.Within("Extras: mass of "+x.Reagent.String(), float64(x.Mass/measure.Gram), 0, s.most(x.Reagent), "g"); err != nil {
			return s, err
		}
	}
	return s, s.weighed()
}

// weighed checks the bag.
func (s *Setup) weighed() error {
	total := 0.0
	for _, c := range s.Bag {
		if !(c.Weight >= 0) || math.IsInf(c.Weight, 0) {
			return &chem.InputError{Field: "Bag", Value: fmt.Sprintf("%s at a weight of %g", c.Salt, c.Weight), Want: "finite weights from 0"}
		}
		total += c.Weight
		mass, err := s.Amount.Weigh(c.Salt.Packing())
		if err != nil {
			return &chem.InputError{Field: "Amount", Value: s.Amount.String(), Want: "a mass, or a volume of a powder of known bulk density", Err: err}
		}
		if g := mass.TypicalGrams; !(g > 0 && g <= s.most(c.Salt)) {
			return &chem.InputError{Field: "Amount", Value: measure.FormatMass(mass.Typical()), Want: fmt.Sprintf("above 0 to %s", measure.FormatMass(unit.Mass(s.most(c.Salt))*measure.Gram))}
		}
	}
	if !(total > 0) {
		return &chem.InputError{Field: "Bag", Value: "empty", Want: "at least one salt with a weight above 0"}
	}
	return nil
}
