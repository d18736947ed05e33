package solution

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.com/chelation/chem"
	"example.com/chelation/chem/equilibrium"
)

// Uncertainty is the standard uncertainty of a computed pH or pM that comes
// from the constants: their scatter, and the width of the defaults where data
// are missing.
type Uncertainty struct {
	Sigma float64 `json:"standard_uncertainty"` // in units of pH or pM
	Parts []Part  `json:"parts"`                // largest first; their squares add up to that of Sigma
}

// Part is what one fitted reaction contributes.
type Part struct {
	Reaction chem.Reaction `json:"reaction"`
	Slope    float64       `json:"slope"`                // derivative by log10 K of the reaction
	Sigma    float64       `json:"standard_uncertainty"` // |Slope| times the standard uncertainty of log10 K
}

// Uncertainty returns how well the constants fix the pH of the vessel, or the pM
// of another component: to first order, by the exact derivatives of the state,
// each fitted reaction taken once however many species rest on it. The value
// of the target does not matter.
//
// What is not in it: the uncertainty of what was weighed and filled in, and
// that of single-ion activities (see [chem.ActivityCoefficient]).
func (s *Solution) Uncertainty(of Target) (Uncertainty, error) {
	m, err := s.equilibrate()
	if err != nil {
		return Uncertainty{}, err
	}
	c, err := s.component(of.Component)
	if err != nil {
		return Uncertainty{}, err
	}
	i := slices.Index(m.components, c)
	if i < 0 || i == m.carbonate {
		return Uncertainty{}, &chem.InputError{Field: "component", Value: of.Component, Want: "a component of the vessel that the air does not hold"}
	}
	weight := equilibrium.Response{LnC: make([]float64, len(m.components))}
	weight.LnC[i] = -1 / math.Ln10
	if i == 0 { // the activity of H⁺ moves with the ionic strength too
		q := math.Sqrt(m.result.Ionic)
		b := 1 + m.medium.B*q
		weight.Ionic = m.medium.A / (2 * q * b * b)
	}
	var gradient equilibrium.Change
	if err := m.workspace.Gradient(&weight, &gradient); err != nil {
		return Uncertainty{}, fmt.Errorf("solution: %w", err)
	}
	slopes := map[int]float64{} // by fitted reaction
	for j, f := range m.species {
		for _, step := range f.Steps {
			slopes[step.Equilibrium] += math.Ln10 * gradient.LnK[j] * step.N
		}
	}
	for k, f := range m.solids {
		for _, step := range f.Steps {
			slopes[step.Equilibrium] -= math.Ln10 * gradient.LnKs[k] * step.N
		}
	}
	if c := m.carbonate; c >= 0 {
		for _, step := range m.air {
			slopes[step.Equilibrium] += math.Ln10 * gradient.LnHeld[c] * step.N
		}
	}
	var u Uncertainty
	for e, slope := range slopes {
		made, _ := s.tables.EquilibriumAt(e)
		sigma := math.Abs(slope) * made.Sigma(s.temperature, m.result.Ionic)
		if sigma > 0 {
			u.Parts = append(u.Parts, Part{made.Reaction, slope, sigma})
		}
	}
	slices.SortFunc(u.Parts, func(a, b Part) int {
		return cmp.Or(cmp.Compare(b.Sigma, a.Sigma), cmp.Compare(a.Reaction.String(), b.Reaction.String()))
	})
	for _, p := range u.Parts {
		u.Sigma = math.Hypot(u.Sigma, p.Sigma)
	}
	return u, nil
}
