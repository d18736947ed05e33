package reading

import (
	"cmp"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/tables"
)

// Candidate is a salt that the bag may hold, with how likely that is. Weights need not
// add up to one.
type Candidate struct {
	Salt   tables.Reagent // a reagent with a chelating anion
	Weight float64        // relative probability, from 0
}

// Setup is what is known of a bath before the first reading, and what is wanted of it. The volume
// of the water, the temperature and the extras are taken as they are told.
type Setup struct {
	Water       tables.Water     // as a test kit or the supplier tells it
	Volume      unit.Volume      // of water, as filled in
	Temperature unit.Temperature // of the bath

	// Bag is what the bag may hold: salts of one chelating anion that differ in
	// sodium, potassium and protons. Nil is a bag without a label: any powder of the
	// chelant with which the tables begin, EDTA in ours, all equally likely.
	Bag    []Candidate
	Amount measure.Amount // of the bag: weighed, or level spoons
	Extras []Added        // what goes in along with the bag

	// Acid lowers the pH and Base raises it, after an overshoot or for an acid
	// salt. One of them may be missing. The first that there is sets the pH: its
	// strength and its packing are held uncertain.
	Acid, Base tables.Reagent

	// WaterTolerance is how far the ions of the water may be off nine times in ten, as a fraction:
	// 0.15 if zero, what a test kit allows. Give 1 for water that nobody tested.
	WaterTolerance float64

	PH float64 // to reach, 2 to 12; 7 if zero
	// Risk is the chance of going past PH by more than [Step] that is tolerated over
	// the whole course: 0.05 if zero.
	Risk float64
	// Open says that the tub stands open: with carbonate a dose is then the one that ends
	// at PH once its gas has left, days later, and the pH is below on the way.
	Open bool
}

// Within Window to either side of the target the pH hardly matters. Beyond it by more
// than Step, a step of the common strip, is an overshoot.
const Window, Step = 0.5, 1.0

// Bounds of what goes into a litre of water, in g: beyond them a powder no longer dissolves, and a
// liquid has taken the place of the bath. They are those of a dose ([solution.Solution.Dose]).
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

// weigh returns the mass of an amount of a reagent in g, if it makes sense.
func (s *Setup) weigh(field string, r tables.Reagent, a measure.Amount) (tables.Range, error) {
	m, err := a.Weigh(r.Packing())
	most := s.most(r)
	if err != nil || !(m.TypicalGrams > 0 && m.TypicalGrams <= most) {
		return tables.Range{}, &chem.InputError{Field: field, Value: a.String() + " of " + r.String(), Want: "a mass above 0 to " + measure.FormatGrams(most) + ", or a volume of what has a known bulk density", Err: err}
	}
	return tables.Range{Low: m.LowGrams, Typical: m.TypicalGrams, High: m.HighGrams}, nil
}

// settled returns an independent copy of the setup with its defaults filled in,
// or what is wrong with its numbers.
func (s Setup) settled(t *tables.Tables) (Setup, error) {
	s = tables.Copy(s)
	if s.Bag == nil {
		shelf := slices.Collect(tables.All[tables.Reagent](t))
		for _, r := range shelf {
			if r.Form == tables.Powder && r.Chelant.Equal(shelf[0].Chelant) {
				s.Bag = append(s.Bag, Candidate{r, 1})
			}
		}
	}
	s.WaterTolerance, s.PH, s.Risk = cmp.Or(s.WaterTolerance, 0.15), cmp.Or(s.PH, 7), cmp.Or(s.Risk, 0.05)
	for _, err := range []error{
		chem.Within("Volume", float64(s.Volume/measure.Litre), 0.05, 1e5, "L"),
		chem.Within("Temperature", float64(s.Temperature)-273.15, 0, 100, "°C"),
		chem.Within("WaterTolerance", s.WaterTolerance, 0, 2, ""),
		chem.Within("PH", s.PH, 2, 12, ""),
		chem.Within("Risk", s.Risk, 0.001, 0.5, ""),
	} {
		if err != nil {
			return s, err
		}
	}
	switch {
	case s.Acid.ID == "" && s.Base.ID == "":
		return s, &chem.InputError{Field: "Base", Value: s.Base.String(), Want: "a base, or an acid in Acid"}
	case s.Acid.ID != "" && s.Base.ID != "" && !slices.Contains(s.Base.Groups, "base"):
		return s, &chem.InputError{Field: "Base", Value: s.Base.String(), Want: "a base"}
	}
	return s, nil
}
