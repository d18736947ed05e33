package solution

import (
	"math"

	"gonum.org/v1/gonum/floats"

	"example.com/chelation/solution/internal/compiled"
	"example.com/chelation/tables"
)

// Response returns the state of the vessel and how its pH moves with the mass of a reagent added,
// dpH/dm per gram: an exact derivative, the growth of the volume and the change of the ionic
// strength included.
func (s *Solution) Response(r tables.Reagent) (st *State, phPerGram float64, err error) {
	a, err := s.additionOf(r)
	if err != nil {
		return nil, 0, err
	}
	work := s.Clone()
	for i, moles := range a.amounts {
		if moles != 0 && work.amounts[i] == 0 {
			work.add(i, math.Copysign(compiled.Trace*s.volume, moles))
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
		run.Totals(rate, a.amounts, s.volume)
		floats.AddScaled(rate, -a.litres/s.volume, run.Conditions.Total)
	})
	return st, d.PH, err
}
