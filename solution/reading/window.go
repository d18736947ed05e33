package reading

import (
	"slices"

	"example.com/chelation/solution"
)

// Working is what a bath can do at one pH.
type Working struct {
	PH float64 `json:"ph"`
	// Iron is the iron(III) that the bath takes from ferrihydrite, the youngest
	// of rusts, while its pH is held, in mol per mol of EDTA.
	IronPerChelant float64 `json:"iron_per_edta"`
	// Reagent is what brings the bag in water here, and Grams how much of it.
	Reagent   string  `json:"reagent"`
	MassGrams float64 `json:"mass_g"`
}

// Window shows how little the pH matters between the ends of the working window:
// what the bath of the most likely salt can do at its low end, at the target and
// at its high end, by the solver.
func (p *Posterior) Window() ([]Working, error) {
	m := p.model
	likely := p.Salts()[0].ID
	best := &m.salts[slices.IndexFunc(m.salts, func(k salt) bool { return k.reagent.ID == likely })]
	v, err := solution.New(m.tables, m.setup.Temperature)
	if err != nil {
		return nil, err
	}
	if err := v.AddWater(m.setup.Water, m.setup.Volume); err != nil {
		return nil, err
	}
	amount, err := m.setup.Amount.Weigh(best.reagent.Packing())
	if err != nil {
		return nil, err
	}
	if err := v.Add(best.reagent, amount.Typical()); err != nil {
		return nil, err
	}
	edta, err := v.Amount(edta)
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
		if pH > start.PH {
			r = m.setup.Base
		}
		d, err := v.Dose(r, solution.PH(pH))
		if err != nil {
			return nil, err
		}
		w.Reagent, w.MassGrams = r.Name, d.MassGrams
		rusty := v.Clone()
		const ferrihydrite = "Fe(OH)3(s, ferrihydrite)"
		if err := rusty.AddSpecies(ferrihydrite, 3*edta); err != nil {
			return nil, err
		}
		// Dissolving takes up acid; one whose anion binds no iron holds the pH.
		held, err := rusty.Dose(m.surface.muriatic, solution.PH(pH))
		if err != nil {
			return nil, err
		}
		left := 0.0
		for _, s := range held.After.Solids {
			if s.Species == ferrihydrite {
				left = s.Moles
			}
		}
		w.IronPerChelant = (3*float64(edta) - left) / float64(edta)
		out = append(out, w)
	}
	return out, nil
}
