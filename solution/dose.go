package solution

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/root"
	"example.com/chelation/tables"
)

// Dose is how much of a reagent brings a vessel to a target.
type Dose struct {
	Reagent   string  `json:"reagent"` // name in the tables
	Target    Target  `json:"target"`  // what was asked for
	MassGrams float64 `json:"mass_g"`  // of the product as sold
	Before    *State  `json:"before"`  // the vessel as it is
	After     *State  `json:"after"`   // the vessel once the dose is in
}

// Mass returns the dose as a mass.
func (d Dose) Mass() unit.Mass { return unit.Mass(d.MassGrams / 1000) }

// Dose finds the mass of a reagent that brings the vessel to a target, and
// leaves the vessel as it is. A target that the reagent cannot reach gives an
// [*UnreachableError], which tells how far it goes. Of a quantity that turns
// back on the way, such as the pM of a metal that acid sets free and then another
// ligand takes, the smallest dose that reaches the target is not promised.
//
// It does not search the steep curve of pH against mass. At the target the
// activity of the hydrogen ion is known, and with it held the rest of the
// vessel asks for a certain amount of H⁺; the dose is where the vessel has that
// amount. The two differ by a nearly straight function of the mass.
func (s *Solution) Dose(r tables.Reagent, target Target) (Dose, error) {
	a, err := s.additionOf(r)
	if err != nil {
		return Dose{}, err
	}
	after, err := s.joined(a.components()...)
	if err != nil {
		return Dose{}, err
	}
	grams, err := after.dose(a, target)
	if err != nil {
		return Dose{}, err
	}
	d := Dose{Reagent: r.Name, Target: target, MassGrams: grams}
	if d.Before, err = s.Equilibrate(); err != nil {
		return Dose{}, err
	}
	after.pour(a, grams)
	if d.After, err = after.Equilibrate(); err != nil {
		return Dose{}, err
	}
	return d, nil
}

// Bounds of a dose in g per litre of vessel: beyond them a powder no longer
// dissolves, and a liquid has taken the place of the bath.
const (
	mostPowder = 400
	mostLiquid = 3000
)

// dose returns the number of units of a that bring the vessel to the target.
func (s *Solution) dose(a addition, target Target) (float64, error) {
	if !(target.Value >= -2 && target.Value <= 40) {
		return 0, &chem.InputError{Field: "target " + target.Name(), Value: fmt.Sprint(target.Value), Want: "a number from -2 to 40"}
	}
	if !(s.volume > 0) {
		return 0, &chem.InputError{Field: "vessel", Value: "empty", Want: "water in it"}
	}
	c, err := s.component(target.Component)
	if err != nil {
		return 0, err
	}
	target.Component = s.tables.Components()[c].Species.String()
	isPH := target == PH(target.Value)
	if s.holdPH && isPH {
		return 0, &chem.InputError{Field: "target", Value: target.Name(), Want: "another than the pH, which is held"}
	}
	// The components of the reagent join those of the vessel from the start.
	work, err := s.joined(a.components()...)
	if err != nil {
		return 0, err
	}
	m := work.model
	i, ok := m.place[c]
	if !ok || i == m.carbonate {
		return 0, &chem.InputError{Field: "target component", Value: target.Component, Want: "a component of the vessel or of the reagent that the air does not hold"}
	}
	m.conditions.Held[i] = true
	m.conditions.LnHeld[i] = -math.Ln10 * target.Value
	if !isPH {
		m.medium.CompZ2[i] = 0 // a concentration, not an activity
	}
	amounts := slices.Clone(work.amounts)
	excess := func(n float64) (float64, error) {
		copy(amounts, work.amounts)
		for _, p := range a.amounts {
			amounts[p.component] += n * p.moles
		}
		litres := work.volume + n*a.litres
		m.totals(amounts, litres)
		have := m.conditions.Total[i]
		if err := m.solve(); err != nil {
			return 0, s.explain(m, err)
		}
		return (have - m.result.Total[i]) * litres, nil
	}
	most := a.most * s.volume / a.grams
	size := math.Abs(work.amounts[c]) // of what cancels
	if isPH {
		for _, n := range work.amounts {
			size += math.Abs(n)
		}
	}
	n, found, err := root.From(excess, a.first(c), most, 1e-13*size)
	if found {
		return n, err
	}
	// The target may be so far out that no state has it, such as pH 12 in air.
	far, e := s.unreachable(a, target, most)
	switch {
	case e != nil:
		return 0, cmp.Or(err, e)
	case err != nil && (far.Start < target.Value) != (far.Limit < target.Value):
		return 0, err
	}
	return 0, far
}

// first returns the moles of the component, or failing that of anything, in a
// unit: the scale on which to look for the dose.
func (a addition) first(component int) float64 {
	scale := 0.0
	for _, p := range a.amounts {
		if p.component == component {
			return math.Abs(p.moles)
		}
		scale = max(scale, math.Abs(p.moles))
	}
	return scale
}

// unreachable finds how far the most of an addition goes.
func (s *Solution) unreachable(a addition, target Target, most float64) (*UnreachableError, error) {
	e := &UnreachableError{Reagent: a.name, Target: target, MassGrams: most * a.grams}
	for _, at := range []struct {
		units float64
		value *float64
	}{{0, &e.Start}, {most, &e.Limit}} {
		v := s.Clone()
		v.pour(a, at.units)
		st, err := v.Equilibrate()
		if err != nil {
			return nil, err
		}
		*at.value = st.value(target)
	}
	return e, nil
}

// value returns what a target speaks of.
func (st *State) value(t Target) float64 {
	if t.Component == "H+" {
		return st.PH
	}
	return st.P(t.Component)
}
