package main

import (
	"fmt"
	"math"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/reading"
	"example.com/chelation/tables"
)

// rule is a way to bring a bath to its pH.
type rule struct {
	name   string
	follow func(x *trial) error
}

var rules = []rule{
	{"advice", (*trial).advised},
	{"a tablespoon, dip, repeat", (*trial).spooned},
	{"half the book, then spoons", (*trial).halved},
}

// The end of a course that gets nowhere, and what the spoon holds.
const (
	longest = 60
	spoon   = 14.78676478125 * measure.Millilitre // a US tablespoon
)

// advised takes the trial from the first reading to the advice to stop.
func (x *trial) advised() error {
	for range longest {
		p, err := x.model.Infer(x.events)
		if err != nil {
			return err
		}
		a, err := p.Advise()
		if err != nil {
			return fmt.Errorf("after %d pours: %w", x.pours, err)
		}
		if len(x.events) > 0 {
			x.asked++
			if x.pH >= a.PH.Low && x.pH <= a.PH.High {
				x.held++
			}
		}
		switch a.Action {
		case reading.Stop:
			x.claim = a.Window
			return nil
		case reading.Look:
			x.look()
			continue
		}
		portion, reagent := a.Spooned, x.setup.Base
		if portion == nil {
			portion = a.Weighed
		}
		if a.Reagent == x.setup.Acid.Name {
			reagent = x.setup.Acid
		}
		amount, err := measure.ParseAmount(portion.Text)
		if err != nil {
			return err
		}
		if err := x.pour(reagent, amount); err != nil {
			return err
		}
	}
	return nil
}

// spooned is the shop's rule: a level tablespoon of what the strip calls for, until it
// shows the target or has gone past it.
func (x *trial) spooned() error {
	way := 0.0
	for x.pours < longest {
		seen := x.look() - x.setup.PH
		if math.Abs(seen) <= reading.Window+1e-9 || way*seen < 0 {
			return nil
		}
		way = seen
		r := x.setup.Acid
		if seen < 0 {
			r = x.setup.Base
		}
		if err := x.pour(r, measure.Amount{VolumeLitres: float64(spoon / measure.Litre)}); err != nil {
			return err
		}
	}
	return nil
}

// halved adds half of what the book says for a bag of tetrasodium EDTA, unless the
// first strip speaks against acid, and goes on by spoons.
func (x *trial) halved() error {
	if x.look() > x.setup.PH+reading.Window {
		label, err := x.tables.Reagent(named)
		if err != nil {
			return err
		}
		dose, err := book(x.tables, x.setup, label)
		if err != nil {
			return err
		}
		litres := 0.5 * dose / x.setup.Acid.Packing().Typical
		if err := x.pour(x.setup.Acid, measure.Amount{VolumeLitres: litres}); err != nil {
			return err
		}
	}
	return x.spooned()
}

// book is the acid in g that a calculation for the salt on the label asks for.
func book(t *tables.Tables, s reading.Setup, label tables.Reagent) (float64, error) {
	v, err := solution.New(t, s.Temperature)
	if err != nil {
		return 0, err
	}
	if err := v.AddWater(s.Water, s.Volume); err != nil {
		return 0, err
	}
	mass, err := s.Amount.Weigh(label.Packing())
	if err != nil {
		return 0, err
	}
	if err := v.Add(label, mass.Typical()); err != nil {
		return 0, err
	}
	dose, err := v.Dose(s.Acid, solution.PH(s.PH))
	return dose.MassGrams, err
}
