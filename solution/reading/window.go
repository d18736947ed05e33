package reading

import (
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/solution"
)

// Working is what a bath can do at one pH.
type Working struct {
	PH float64 `json:"ph"`
	// IronPerChelant is the iron(III) that the bath takes from ferrihydrite, the
	// youngest of rusts, while its pH is held, in mol per mol of chelant.
	IronPerChelant float64 `json:"iron_per_chelant"`
	// Reagent is what brings the bag in water here, and Grams how much of it.
	Reagent   string  `json:"reagent"`
	MassGrams float64 `json:"mass_g"`
}

// Window shows how little the pH matters between the ends of the working window:
// what the bath of the most likely salt can do at its low end, at the target and
// at its high end, by the solver.
func (p *Posterior) Window() ([]Working, error) {
	if err := p.ready(); err != nil {
		return nil, err
	}
	m := p.model
	likely := p.Salts()[0].ID
	best := &m.salts[slices.IndexFunc(m.salts, func(k salt) bool { return k.reagent.ID == likely })]
	v, err := m.surface.filled(1)
	if err != nil {
		return nil, err
	}
	amount, err := m.setup.Amount.Weigh(best.reagent.Packing())
	if err != nil {
		return nil, err
	}
	if err := v.Add(best.reagent, amount.Typical()); err != nil {
		return nil, err
	}
	if m.basis.solid != "" {
		if err := v.Allow(m.basis.solid); err != nil {
			return nil, err
		}
	}
	chelant, err := v.Amount(m.basis.chelant)
	if err != nil {
		return nil, err
	}
	start, err := v.Equilibrate()
	if err != nil {
		return nil, err
	}
	var out []Working
	for _, pH := range []float64{m.setup.Low, m.setup.Target, m.setup.High} {
		w := Working{PH: pH}
		r := m.setup.Acid
		if pH > start.PH || r.ID == "" {
			r = m.setup.Base
		}
		if r.ID == "" {
			r = m.setter
		}
		d, err := v.Dose(r, solution.PH(pH))
		if err != nil {
			return nil, err
		}
		w.Reagent, w.MassGrams = r.Name, d.MassGrams
		if w.IronPerChelant, err = m.takes(v, pH, chelant); err != nil {
			return nil, err
		}
		out = append(out, w)
	}
	return out, nil
}

// takes returns the iron per mol of chelant that a vessel takes from ferrihydrite
// while its pH is held.
func (m *Model) takes(v *solution.Solution, pH float64, chelant unit.Mole) (float64, error) {
	const ferrihydrite = "Fe(OH)3(s, ferrihydrite)"
	const plenty = 3 // mol per mol of chelant: no chelant takes more than two
	rusty := v.Clone()
	if err := rusty.AddSpecies(ferrihydrite, plenty*chelant); err != nil {
		return 0, err
	}
	// Dissolving takes up acid; one whose anion binds no iron holds the pH.
	held, err := rusty.Dose(m.surface.sour.reagent, solution.PH(pH))
	if err != nil {
		return 0, err
	}
	left := 0.0
	for _, s := range held.After.Solids {
		if s.Species == ferrihydrite {
			left = s.Moles
		}
	}
	return plenty - left/float64(chelant), nil
}
