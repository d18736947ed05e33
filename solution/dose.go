package solution

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/compiled"
	"example.com/chelation/solution/internal/root"
	"example.com/chelation/tables"
)

// Dose is how much of a reagent brings a vessel to a target.
type Dose struct {
	MassGrams float64 `json:"mass_g"` // of the product as sold
	Before    *State  `json:"before"` // the vessel as it is
	After     *State  `json:"after"`  // the vessel once the dose is in
}

// Mass returns the dose as a mass.
func (d Dose) Mass() unit.Mass { return unit.Mass(d.MassGrams / 1000) }

// Dose finds the mass of a reagent that brings the vessel to a target, and leaves the vessel as it
// is. A target that the reagent cannot reach gives an [*UnreachableError], which tells how far it
// goes. Of a quantity that turns back on the way, such as the pM of a metal that acid sets free and
// then another ligand takes, the smallest dose that reaches the target is not promised.
func (s *Solution) Dose(r tables.Reagent, target Target) (Dose, error) {
	after := s.Clone()
	grams, err := after.Bring(r, target)
	if err != nil {
		return Dose{}, err
	}
	before, err := s.Equilibrate()
	if err != nil {
		return Dose{}, err
	}
	then, err := after.Equilibrate()
	return Dose{grams, before, then}, err
}

// Bring adds what [Solution.Dose] finds to the vessel itself, and returns its mass in g. It is
// quicker, since no state is written down.
func (s *Solution) Bring(r tables.Reagent, target Target) (grams float64, err error) {
	a, err := s.additionOf(r)
	if err != nil {
		return 0, err
	}
	units, near, err := s.dose(a, target)
	if err != nil {
		return 0, err
	}
	s.pour(a, units)
	s.answer = near
	return units * a.grams, nil
}

const (
	// Bounds of a dose in g per litre of vessel: beyond them a powder no longer dissolves, and a
	// liquid has taken the place of the bath.
	mostPowder, mostLiquid = 400, 3000
	// What a target may be: pH of the strongest acid, and the pM of a metal of which a bath holds
	// less than one ion.
	lowTarget, highTarget = -2, 40
	// The part of what cancels in a balance that is not known: the sum of a few hundred numbers of
	// 16 digits.
	rounding = 1e-13
)

// dose returns the number of units of a that bring the vessel to the target, and an answer near the
// state that they lead to. At a pH that is held the vessel asks for an amount of H⁺; the dose is
// where it has that.
func (s *Solution) dose(a addition, target Target) (units float64, near *compiled.Answer, err error) {
	if err := s.holdsWater(); err != nil {
		return 0, nil, err
	}
	c, err := s.component(target.Component)
	if err != nil {
		return 0, nil, err
	}
	target.Component = s.setting.Text[c]
	if err := chem.Within("target "+target.Name(), target.Value, lowTarget, highTarget, ""); err != nil {
		return 0, nil, err
	}
	isPH := c == s.setting.Proton
	if s.holdPH && isPH {
		return 0, nil, &chem.InputError{Field: "target", Value: target.Name(), Want: "another than the pH, which is held"}
	}
	// The components of the reagent join those of the vessel from the start.
	problem, err := s.compiledWith(a.amounts)
	if err != nil {
		return 0, nil, err
	}
	i := problem.Place(c)
	if i < 0 || i == problem.Carbonate {
		return 0, nil, &chem.InputError{Field: "target component", Value: target.Component, Want: "a component of the vessel or of the reagent that the air does not hold"}
	}
	r := s.borrow(problem)
	defer r.Return()
	r.From(s.answer)
	r.Hold(i, -math.Ln10*target.Value)
	if !isPH { // a concentration, not an activity
		r.Medium.CompZ2 = slices.Clone(r.Medium.CompZ2)
		r.Medium.CompZ2[i] = 0
	}
	amounts := slices.Clone(s.amounts)
	excess := func(n float64) (float64, error) {
		floats.AddScaledTo(amounts, s.amounts, n, a.amounts)
		litres := s.volume + n*a.litres
		r.Fill(amounts, litres)
		have := r.Conditions.Total[i]
		if err := r.Solve(); err != nil {
			return 0, err
		}
		return (have - r.Result.Total[i]) * litres, nil
	}
	most := a.most * s.volume / a.grams
	size := math.Abs(s.amounts[c]) // of what cancels
	if isPH {
		size += floats.Norm(s.amounts, 1)
	}
	scale := cmp.Or(math.Abs(a.amounts[c]), floats.Norm(a.amounts, math.Inf(1))) // of the component, or failing that of anything
	units, found, err := root.From(excess, scale, most, rounding*size)
	if found {
		return units, r.Answer(), err
	}
	// The target may be so far out that no state has it, such as pH 12 in air.
	far, e := s.unreachable(a, target, most)
	switch {
	case e != nil:
		return 0, nil, cmp.Or(err, e)
	case err != nil && (far.Start < target.Value) != (far.Limit < target.Value):
		return 0, nil, err
	}
	return 0, nil, far
}

// unreachable finds how far the most of an addition goes.
func (s *Solution) unreachable(a addition, target Target, most float64) (*UnreachableError, error) {
	e := &UnreachableError{Reagent: a.name, Target: target, MassGrams: most * a.grams}
	reach := func(units float64) (float64, error) {
		v := s.Clone()
		v.pour(a, units)
		st, err := v.Equilibrate()
		if err != nil {
			return 0, err
		}
		if target.Name() == "pH" {
			return st.PH, nil
		}
		p, err := st.P(target.Component)
		return min(highTarget, p), err // infinite where there is none of it
	}
	var err error
	if e.Start, err = reach(0); err == nil {
		e.Limit, err = reach(most)
	}
	return e, err
}
