package solution

import (
	"math"

	"example.com/chelation/tables"
)

// Response is how a state moves as something is added, at equilibrium all the
// while: exact derivatives per gram of reagent, the growth of the volume and
// the change of the ionic strength included.
type Response struct {
	PHPerGram            float64 `json:"ph_per_g"`                       // dpH/dm
	IonicStrengthPerGram float64 `json:"ionic_strength_mol_per_l_per_g"` // dI/dm
}

// trace is what stands in, in mol/L, for a component that is not there yet: none has
// no logarithm.
const trace = 1e-13

// Response returns the state of the vessel and how it moves with the mass of a
// reagent added.
func (s *Solution) Response(r tables.Reagent) (*State, Response, error) {
	a, err := s.additionOf(r)
	if err != nil {
		return nil, Response{}, err
	}
	work := s.Clone()
	for _, p := range a.amounts {
		if work.amounts[p.component] == 0 {
			work.add(p.component, math.Copysign(trace*s.volume, p.moles))
		}
	}
	run, err := work.settle()
	if err != nil {
		return nil, Response{}, err
	}
	defer run.Return()
	st, err := work.record(run)
	if err != nil {
		return nil, Response{}, err
	}
	d, err := run.Drift(func(rate []float64) {
		for i, t := range run.Conditions.Total {
			rate[i] = -t * a.litres / s.volume
		}
		for _, p := range a.amounts {
			i := run.Place(p.component)
			rate[i] += p.moles / s.volume
			if i == run.Carbonate {
				rate[0] -= 2 * p.moles / s.volume
			}
		}
	})
	if err != nil {
		return nil, Response{}, err
	}
	return st, Response{PHPerGram: d.PH, IonicStrengthPerGram: d.Ionic}, nil
}
