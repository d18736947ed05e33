package solution

import (
	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/path"
)

// Path returns the way of the vessel while the other, at the volume and composition it has, is poured in, and what
// records the point at which the way stands. The vessel's temperature, air, solids, constants and held pH count, the
// other's do not. It is a door for this library's own packages: others pour with package titration.
func (s *Solution) Path(other *Solution) (way *path.Path, record func() (*State, error), err error) {
	for _, v := range []*Solution{s, other} {
		if err := v.holdsWater(); err != nil {
			return nil, nil, err
		}
	}
	if s.setting.Tables != other.setting.Tables {
		return nil, nil, &chem.InputError{Field: "vessel to pour", Value: "from other tables", Want: "one made with the same tables"}
	}
	perLitre := make([]float64, len(other.amounts))
	var poured []int
	for i, n := range other.amounts {
		if n != 0 {
			poured = append(poured, i)
			perLitre[i] = n / other.volume
		}
	}
	problem, err := s.compiledWith(poured)
	if err != nil {
		return nil, nil, err
	}
	growth := chem.WaterDensity(other.setting.Temperature) / chem.WaterDensity(s.setting.Temperature)
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
