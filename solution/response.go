package solution

import (
	"math"

	"example.com/chelation/solution/internal/compiled"
	"example.com/chelation/tables"
)

// Response returns the state of the vessel and how its pH moves with the mass of a reagent added, dpH/dm per gram: an
// exact derivative, the growth of the volume and the change of the ionic strength included.
func (s *Solution) Response(r tables.Reagent) (st *State, phPerGram float64, err error) {
	a, err := s.additionOf(r)
	if err != nil {
		return nil, 0, err
	}
	work := s.Clone()
	for _, p := range a.amounts {
		if work.amounts[p.component] == 0 {
			work.add(p.component, math.Copysign(compiled.Trace*s.volume, p.moles))
		}
	}
	run, err := work.Solve()
	if err != nil {
		return nil, 0, err
	}
	defer run.Return()
	if st, err = work.record(run); err != nil {
		return nil, 0, err
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
		return nil, 0, err
	}
	return st, d.PH, nil
}
