package main

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/reading"
	"example.com/chelation/tables"
)

// course is how a trial bath was brought to its pH.
type course struct {
	additions int     // of acid or base, after the bag
	reached   int     // additions when the pH first lay within the window; −1 if never
	foretold  float64 // additions that the first advice to add expected; 0 if there was none
	pH        float64 // true, at the end
	overshot  bool    // went past the target by more than a step
	// inside counts how often the truth lay within the range of nine in ten,
	// and asked how often that was asked: of pH after each reading, and of EDTA
	// and of the need of acid or base at the end and at the start.
	inside, asked coverage
	log           []reading.Event
}

// coverage is a count for each quantity.
type coverage struct{ pH, edta, need int }

// mostSteps ends a run that gets nowhere.
const mostSteps = 40

// followAdvice takes the trial from the first reading to the advice to stop.
// Additions are weighed, or measured with level spoons.
func (x *trial) followAdvice(s tables.Strip, weighed bool) (*course, error) {
	r := &course{reached: -1}
	if err := x.look(r, s); err != nil {
		return nil, err
	}
	for range mostSteps {
		p, err := x.model.Infer(r.log)
		if err != nil {
			return nil, err
		}
		a, err := p.Advise()
		if err != nil {
			return nil, err
		}
		if err := x.compare(r, p, a); err != nil {
			return nil, err
		}
		switch a.Action {
		case reading.Stop:
			return r, nil
		case reading.Look:
			if err := x.look(r, s); err != nil {
				return nil, err
			}
			continue
		}
		if r.additions == 0 {
			r.foretold = a.Steps
		}
		portion := a.Spooned
		if weighed || portion == nil {
			portion = a.Weighed
		}
		amount, err := measure.ParseAmount(portion.Text)
		if err != nil {
			return nil, err
		}
		if err := x.put(r, x.advised(a), amount); err != nil {
			return nil, err
		}
		if err := x.look(r, s); err != nil {
			return nil, err
		}
	}
	return r, nil
}

// advised is the reagent of an advice.
func (x *trial) advised(a *reading.Advice) tables.Reagent {
	if a.Reagent == x.setup.Acid.Name {
		return x.setup.Acid
	}
	return x.setup.Base
}

// look takes a reading.
func (x *trial) look(r *course, s tables.Strip) error {
	seen, err := x.read(s)
	if err != nil {
		return err
	}
	r.log = append(r.log, seen)
	pH, err := x.pH()
	if err != nil {
		return err
	}
	r.pH = pH
	if u := &x.setup; r.reached < 0 && pH >= u.Low && pH <= u.High {
		r.reached = r.additions
	}
	return nil
}

// put adds something and notes an overshoot.
func (x *trial) put(r *course, reagent tables.Reagent, amount measure.Amount) error {
	before, err := x.pH()
	if err != nil {
		return err
	}
	e := reading.Added{Reagent: reagent, Amount: amount}
	if err := x.add(e); err != nil {
		return err
	}
	after, err := x.pH()
	if err != nil {
		return err
	}
	u := &x.setup
	r.overshot = r.overshot || after < u.PH-u.Step && before >= u.PH-u.Step || after > u.PH+u.Step && before <= u.PH+u.Step
	r.additions++
	r.log = append(r.log, e)
	r.pH = after
	if r.reached < 0 && after >= u.Low && after <= u.High {
		r.reached = r.additions
	}
	return nil
}

// compare counts the ranges that hold the truth.
func (x *trial) compare(r *course, p *reading.Posterior, a *reading.Advice) error {
	count := func(in, asked *int, x tables.Range, truth float64) {
		*asked++
		if truth >= x.Low && truth <= x.High {
			*in++
		}
	}
	count(&r.inside.pH, &r.asked.pH, a.PH, r.pH)
	count(&r.inside.edta, &r.asked.edta, p.ChelantMoles(), x.edta)
	if a.Action != reading.Add {
		return nil
	}
	need, err := x.need(x.advised(a), x.setup.PH)
	if errors.Is(err, solution.ErrUnreachable) {
		need, err = math.Inf(-1), nil
	}
	if err != nil {
		return err
	}
	count(&r.inside.need, &r.asked.need, a.NeedGrams, need)
	return nil
}

// followSpoons is a plain habit: add the same spoonful again and again until the
// strip shows the target or less.
func (x *trial) followSpoons(s tables.Strip, spoon unit.Volume) (*course, error) {
	r := &course{reached: -1}
	acid := x.setup.Acid
	for {
		if err := x.look(r, s); err != nil {
			return nil, err
		}
		if seen := r.log[len(r.log)-1].(reading.Read); seen.Value <= x.setup.PH+1e-9 || r.additions >= 1000 {
			return r, nil
		}
		if err := x.put(r, acid, measure.AmountOfVolume(spoon)); err != nil {
			return nil, err
		}
	}
}

// followBook is another: add at once what a calculation for the salt on the label
// says, without looking.
func (x *trial) followBook(label tables.Reagent, weighed bool) (*course, error) {
	r := &course{reached: -1}
	v, err := solution.New(x.tables, x.setup.Temperature)
	if err != nil {
		return nil, err
	}
	if err := v.AddWater(x.setup.Water, x.setup.Volume); err != nil {
		return nil, err
	}
	mass, err := x.setup.Amount.Weigh(label.Packing())
	if err != nil {
		return nil, err
	}
	if err := v.Add(label, mass.Typical()); err != nil {
		return nil, err
	}
	dose, err := v.Dose(x.setup.Acid, solution.PH(x.setup.PH))
	if err != nil {
		return nil, fmt.Errorf("the dose for %s: %w", label.Name, err)
	}
	amount := measure.AmountOfMass(dose.Mass())
	if !weighed {
		amount = measure.AmountOfVolume(unit.Volume(float64(dose.Mass()) / x.setup.Acid.Packing().Typical))
	}
	return r, x.put(r, x.setup.Acid, amount)
}
