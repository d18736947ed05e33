package solution

import (
	"fmt"
	"math"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/compiled"
)

// leastWater is the part of a vessel's volume that has to be water: with less there is
// a wet powder or a neat acid, and no solution that the tables' constants describe
// (judgement; syrupy phosphoric acid has a quarter).
const leastWater = 0.1

// holdsWater refuses a vessel without water.
func (s *Solution) holdsWater() error {
	if err := s.made(); err != nil {
		return err
	}
	switch {
	case !(s.volume > 0):
		return &chem.InputError{Field: "vessel", Value: "empty", Want: "water in it"}
	case s.water < leastWater*s.volume:
		return &chem.InputError{Field: "water in the vessel", Value: fmt.Sprintf("%.3g L of %.3g L", max(s.water, 0), s.volume), Want: "at least a tenth of the volume"}
	}
	return nil
}

// compiledWith returns the problem of the vessel with further components.
func (s *Solution) compiledWith(more []int) (*compiled.Problem, error) {
	if s.problem == nil {
		return s.setting.Problem(s.components(more))
	}
	for _, c := range more {
		if s.problem.Place(c) < 0 {
			return s.setting.Problem(s.components(more))
		}
	}
	return s.problem, nil
}

// components returns those that the vessel holds, and more, in the tables' order.
func (s *Solution) components(more []int) []int {
	var out []int
	for i, n := range s.amounts {
		there := n != 0
		for _, c := range more {
			there = there || c == i
		}
		if there {
			out = append(out, i)
		}
	}
	return out
}

// borrow returns a run of a problem under what the vessel holds.
func (s *Solution) borrow(p *compiled.Problem) *compiled.Run {
	r := p.Borrow()
	if s.holdPH {
		r.Hold(0, -math.Ln10*s.heldPH)
	}
	return r
}

// settle brings the vessel to rest. The run is to be returned.
func (s *Solution) settle() (*compiled.Run, error) {
	if err := s.holdsWater(); err != nil {
		return nil, err
	}
	p, err := s.compiledWith(nil)
	if err != nil {
		return nil, err
	}
	s.problem = p
	r := s.borrow(p)
	r.Fill(s.amounts, s.volume)
	r.From(s.answer)
	if err := r.Solve(); err != nil {
		r.Return()
		return nil, err
	}
	s.answer = r.Answer()
	return r, nil
}
