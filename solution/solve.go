package solution

import (
	"fmt"
	"math"
	"slices"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/compiled"
)

// leastWater is the part of a vessel's volume that has to be water: with less there is a wet powder
// or a neat acid, and no solution that the tables' constants describe (judgement; syrupy phosphoric
// acid has a quarter).
const leastWater = 0.1

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

// compiledWith returns the problem of the vessel with what else comes in.
func (s *Solution) compiledWith(more ...[]float64) (*compiled.Problem, error) {
	const usual = 64 // components for which no room is allocated
	components, fits := make([]int, 0, usual), s.problem != nil
	for i, n := range s.amounts {
		if n != 0 || slices.ContainsFunc(more, func(amounts []float64) bool { return amounts[i] != 0 }) {
			components = append(components, i)
			fits = fits && s.problem.Place(i) >= 0
		}
	}
	if fits {
		return s.problem, nil
	}
	return s.setting.Problem(components)
}

// borrow returns a run of a problem under what the vessel holds.
func (s *Solution) borrow(p *compiled.Problem) *compiled.Run {
	r := p.Borrow()
	if s.holdPH {
		r.Hold(0, -math.Ln10*s.heldPH)
	}
	return r
}

// Solve brings the vessel to rest and lends the run that it is the answer of, which is to be
// returned. It is a door for this library's own packages: others ask for [Solution.Equilibrate].
func (s *Solution) Solve() (*compiled.Run, error) {
	if err := s.holdsWater(); err != nil {
		return nil, err
	}
	p, err := s.compiledWith()
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
