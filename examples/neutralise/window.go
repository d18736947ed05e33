package main

import (
	"errors"

	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/reading"
)

// working is what a bath can do at one pH.
type working struct {
	PH             float64 `json:"ph"`
	IronPerChelant float64 `json:"iron_per_chelant"` // mol per mol, from ferrihydrite while the pH is held
	ReagentID      string  `json:"reagent"`          // what brings the bag in water here
	Reagent        string  `json:"name"`
	MassGrams      float64 `json:"mass_g"` // and how much of it
}

// window shows how little the pH matters between the ends of the working window:
// what the bath of a salt can do at its low end, at the target and at its high end.
func (c *course) window(salt string) ([]working, error) {
	s := c.model.Setup()
	chelant, err := c.tables.Reagent(salt)
	if err != nil {
		return nil, err
	}
	v, err := solution.New(c.tables, s.Temperature)
	if err != nil {
		return nil, err
	}
	if err := v.AddWater(s.Water, s.Volume); err != nil {
		return nil, err
	}
	mass, err := s.Amount.Weigh(chelant.Packing())
	if err != nil {
		return nil, err
	}
	if err := v.Add(chelant, mass.Typical()); err != nil {
		return nil, err
	}
	b, err := bath.New(c.tables, v)
	if err != nil {
		return nil, err
	}
	youngest, err := bath.FindOxide(c.tables, "ferrihydrite")
	if err != nil {
		return nil, err
	}
	var out []working
	for _, pH := range []float64{s.PH - reading.Window, s.PH, s.PH + reading.Window} {
		limit, err := b.Limit(youngest, pH)
		if err != nil {
			return nil, err
		}
		reagent := s.Acid
		dose, err := v.Dose(reagent, solution.PH(pH))
		if errors.Is(err, solution.ErrUnreachable) {
			reagent = s.Base
			dose, err = v.Dose(reagent, solution.PH(pH))
		}
		if err != nil {
			return nil, err
		}
		out = append(out, working{pH, limit.IronPerChelant, reagent.ID, reagent.Name, dose.MassGrams})
	}
	return out, nil
}
