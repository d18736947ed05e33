package solution

import (
	"cmp"

	"example.com/chelation/solution/internal/path"
)

// Path returns the way of the vessel while the other, at the volume and composition it has, is
// poured in, and what records the point at which the way stands. The vessel's temperature, air,
// solids, constants and held pH count, the other's do not. It is a door for this library's own
// packages: others pour with package titration.
func (s *Solution) Path(other *Solution) (way *path.Path, record func() (*State, error), err error) {
	growth, err := s.growthBy(other)
	if err = cmp.Or(err, s.holdsWater(), other.holdsWater()); err != nil {
		return nil, nil, err
	}
	perLitre := make([]float64, len(other.amounts))
	for i, n := range other.amounts {
		perLitre[i] = n / other.volume
	}
	problem, err := s.compiledWith(perLitre)
	if err != nil {
		return nil, nil, err
	}
	way = path.New(s.borrow(problem), s.amounts, s.volume, perLitre, growth)
	now := *s
	return way, func() (*State, error) {
		moles, err := way.Contents()
		if err != nil {
			return nil, err
		}
		v := Solution{setting: now.setting, holdPH: now.holdPH, heldPH: now.heldPH, amounts: moles, volume: way.Litres, water: way.Litres}
		return v.Equilibrate()
	}, nil
}
