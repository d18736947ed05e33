package solution

import (
	"cmp"
	"math"
	"slices"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// Uncertainty is the standard uncertainty that comes from the constants: their scatter, and the
// width of defaults.
type Uncertainty struct {
	Sigma float64 `json:"standard_uncertainty"` // in units of pH or pM, mol/L of a solid, or g of a dose
	Parts []Part  `json:"parts"`                // largest first; their squares add up to that of Sigma
}

// Part is what one fitted reaction contributes.
type Part struct {
	Reaction string  `json:"reaction"`
	Slope    float64 `json:"slope"`                // derivative by log10 K of the reaction
	Sigma    float64 `json:"standard_uncertainty"` // |Slope| times the standard uncertainty of log10 K
}

// Uncertainty returns how well the constants fix the pH of the vessel, or the pM of another
// component: to first order, by the exact derivatives of the state, each fitted reaction taken once
// however many species rest on it. The value of the target does not matter. What was weighed and
// filled in and single-ion activities (see [chem.ActivityCoefficient]) are taken as exact.
func (s *Solution) Uncertainty(of Target) (u Uncertainty, err error) {
	c, err := s.component(of.Component)
	if err != nil {
		return u, err
	}
	r, err := s.Solve()
	if err != nil {
		return u, err
	}
	defer r.Return()
	i := r.Place(c)
	if i < 0 || i == r.Carbonate {
		return u, &chem.InputError{Field: "component", Value: s.setting.Text[c], Want: "a component of the vessel that the air does not hold"}
	}
	gradient, err := r.Gradient(i)
	if err != nil {
		return u, err
	}
	for f, slope := range r.Slopes(gradient) {
		if sigma := math.Abs(slope) * f.Sigma(s.setting.Temperature, r.Result.Ionic); sigma > 0 {
			u.Parts = append(u.Parts, Part{f.Reaction, slope, sigma})
		}
	}
	slices.SortFunc(u.Parts, func(a, b Part) int {
		return cmp.Or(cmp.Compare(b.Sigma, a.Sigma), cmp.Compare(a.Reaction, b.Reaction))
	})
	for _, p := range u.Parts {
		u.Sigma = math.Hypot(u.Sigma, p.Sigma)
	}
	return u, nil
}

// DoseUncertainty is [Solution.Uncertainty] of how much of a reagent brings a vessel to the pH that
// it has now with that in, in g: what a constant moves the pH by, over what a gram does.
func (s *Solution) DoseUncertainty(r tables.Reagent) (Uncertainty, error) {
	_, x, err := s.Response(r)
	if err != nil {
		return Uncertainty{}, err
	}
	u, err := s.Uncertainty(PH(0))
	for i := range u.Parts {
		u.Parts[i].Slope /= -x
		u.Parts[i].Sigma /= math.Abs(x)
	}
	u.Sigma /= math.Abs(x)
	return u, err
}
