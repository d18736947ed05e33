package solution

import (
	"slices"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/compiled"
)

// Flow keeps the vessel ready for balanced reactions that go on at once, as of [Solution.React].
// The air gets none of it. It is a door for this library's own packages: others ask package bath
// for a course.
func (s *Solution) Flow(reactions ...chem.Reaction) (*compiled.Flow, error) {
	if err := s.holdsWater(); err != nil {
		return nil, err
	}
	v := s.Clone()
	v.Close()
	changes := make([][]float64, len(reactions))
	var err error
	for i, r := range reactions {
		if changes[i], err = v.changeBy(r); err != nil {
			return nil, err
		}
	}
	problem, err := v.compiledWith(changes...)
	if err != nil {
		return nil, err
	}
	return compiled.NewFlow(v.borrow(problem), slices.Clone(v.amounts), v.volume, changes), nil
}

// Arrive puts the vessel where a flow that began in it has come to.
func (s *Solution) Arrive(f *compiled.Flow) {
	if s.made() != nil || f == nil {
		return
	}
	for i, n := range f.Moles {
		if i != f.Proton && n < 0 && n > -compiled.Trace*f.Litres {
			n = 0 // what is used up can end below zero by rounding, and no water holds that
		}
		if n != s.amounts[i] {
			s.add(i, n-s.amounts[i])
		}
	}
}
