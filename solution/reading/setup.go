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
	Salt   tables.Reagent // one of the EDTA salts of the tables
	Weight float64        // relative prior probability, from 0
}

// Setup is what is known of a bath before the first reading, and what is wanted
// of it. The volume of the water and the temperature are taken as they are told.
type Setup struct {
	Water       tables.Water     // as a test kit or the supplier tells it
	Volume      unit.Volume      // of water, as filled in
	Temperature unit.Temperature // of the bath

	// Bag is what the bag may hold: salts of EDTA. Nil is any powder of the
	// tables, all equally likely.
	Bag    []Candidate
	Amount measure.Amount // of the bag: weighed, or level spoons

	Acid tables.Reagent // lowers the pH
	Base tables.Reagent // raises it, after an overshoot or for an acid salt

	// WaterTolerance is how far the ions of the water may be off nine times in
	// ten, as a fraction: 0.15 if zero, what a test kit allows. Give 1 for water
	// that nobody tested.
	WaterTolerance float64

	Target float64 // pH to reach; 7 if zero
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

// Unlabelled returns the candidates of a bag without a label: every salt of EDTA
// that the tables list in a form, all equally likely.
func Unlabelled(t *tables.Tables, form tables.Form) []Candidate {
	var bag []Candidate
	for r := range t.Reagents() {
		if r.Form == form && isEDTA(r) {
			bag = append(bag, Candidate{r, 1})
		}
	}
	return bag
}

func isEDTA(r tables.Reagent) bool { return r.Chelant.String() == edta }

// edta is the anion that all candidates share.
const edta = "edta4-"

// settled returns the setup with its defaults filled in, or what is wrong.
func (s Setup) settled(t *tables.Tables) (Setup, error) {
	if s.Bag == nil {
		s.Bag = Unlabelled(t, tables.Powder)
	}
	if s.WaterTolerance == 0 {
		s.WaterTolerance = 0.15
	}
	if s.Target == 0 {
		s.Target = 7
	}
	if s.Low == 0 && s.High == 0 {
		s.Low, s.High = s.Target-0.5, s.Target+0.5
	}
	if s.Step == 0 {
		s.Step = 1
	}
	if s.Risk == 0 {
		s.Risk = 0.05
	}
	number := func(field string, x, low, high float64) error {
		if x >= low && x <= high {
			return nil
		}
		return &chem.InputError{Field: field, Value: fmt.Sprint(x), Want: fmt.Sprintf("a number from %g to %g", low, high)}
	}
	for _, err := range []error{
		number("Volume in litres", float64(s.Volume)*1000, 0.05, 1e5),
		number("Temperature in kelvin", float64(s.Temperature), 273.15, 373.15),
		number("WaterTolerance", s.WaterTolerance, 0.001, 2),
		number("Target", s.Target, 4, 11),
		number("Low", s.Low, 3.5, s.Target),
		number("High", s.High, s.Target, 11.5),
		number("Step", s.Step, 0.05, 3),
		number("Risk", s.Risk, 0.001, 0.5),
	} {
		if err != nil {
			return s, err
		}
	}
	if !slices.Contains(s.Acid.Groups, "acid") || protonsPerGram(s.Acid) <= 0 {
		return s, &chem.InputError{Field: "Acid", Value: s.Acid.String(), Want: "an acid"}
	}
	if !slices.Contains(s.Base.Groups, "base") {
		return s, &chem.InputError{Field: "Base", Value: s.Base.String(), Want: "a base"}
	}
	total := 0.0
	for _, c := range s.Bag {
		if !isEDTA(c.Salt) {
			return s, &chem.InputError{Field: "Bag", Value: c.Salt.Name, Want: "salts of EDTA"}
		}
		if !(c.Weight >= 0) || math.IsInf(c.Weight, 0) {
			return s, &chem.InputError{Field: "Bag", Value: fmt.Sprintf("%s at a weight of %g", c.Salt.Name, c.Weight), Want: "finite weights from 0"}
		}
		total += c.Weight
		mass, err := s.Amount.Weigh(c.Salt.Packing())
		if err != nil {
			return s, &chem.InputError{Field: "Amount", Value: s.Amount.String(), Want: "a mass, or a volume of a powder of known bulk density", Err: err}
		}
		if g := float64(mass.Typical()) / float64(s.Volume); !(g >= 0.5 && g <= 250) {
			return s, &chem.InputError{Field: "Amount", Value: fmt.Sprintf("%.3g g per litre of water", g), Want: "0.5 to 250 g per litre"}
		}
	}
	if !(total > 0) {
		return s, &chem.InputError{Field: "Bag", Value: "empty", Want: "at least one salt of EDTA with a weight above 0"}
	}
	return s, nil
}
