package reading

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// Run is how a trial bath was brought to its pH.
type Run struct {
	Additions int     // of acid or base, after the bag
	Reached   int     // additions when the pH first lay within the window; −1 if never
	Foretold  float64 // additions that the first advice to add expected; 0 if there was none
	PH        float64 // true, at the end
	Overshot  bool    // went past the target by more than a step
	Grams     float64 // of acid and base measured out, by typical packing
	// Inside counts how often the truth lay within the range of nine in ten,
	// and Asked how often that was asked: of pH after each reading, and of EDTA
	// and of the need of acid or base at the end and at the start.
	Inside, Asked Coverage
	Log           []Event
}

// Coverage is a count for each quantity.
type Coverage struct{ PH, EDTA, Need int }

// mostSteps ends a run that gets nowhere.
const mostSteps = 40

// FollowAdvice takes the trial from the first reading to the advice to stop.
// Additions are weighed, or measured with level spoons.
func (t *Trial) FollowAdvice(s tables.Strip, weighed bool) (*Run, error) {
	r := &Run{Reached: -1}
	if err := t.look(r, s); err != nil {
		return nil, err
	}
	for range mostSteps {
		p, err := t.model.Infer(r.Log)
		if err != nil {
			return nil, err
		}
		a, err := p.Advise()
		if err != nil {
			return nil, err
		}
		if err := t.compare(r, p, a); err != nil {
			return nil, err
		}
		switch a.Action {
		case Stop:
			return r, nil
		case Look:
			if err := t.look(r, s); err != nil {
				return nil, err
			}
			continue
		}
		if r.Additions == 0 {
			r.Foretold = a.Steps
		}
		portion := a.Spooned
		if weighed || portion == nil {
			portion = a.Weighed
		}
		reagent := t.model.setup.Acid
		if a.Reagent != reagent.Name {
			reagent = t.model.setup.Base
		}
		if err := t.put(r, reagent, portion.Amount(), portion.MassGrams); err != nil {
			return nil, err
		}
		if err := t.look(r, s); err != nil {
			return nil, err
		}
	}
	return r, nil
}

// look takes a reading.
func (t *Trial) look(r *Run, s tables.Strip) error {
	seen, err := t.Read(s)
	if err != nil {
		return err
	}
	r.Log = append(r.Log, seen)
	pH, err := t.PH()
	if err != nil {
		return err
	}
	r.PH = pH
	if u := &t.model.setup; r.Reached < 0 && pH >= u.Low && pH <= u.High {
		r.Reached = r.Additions
	}
	return nil
}

// put adds something and notes an overshoot.
func (t *Trial) put(r *Run, reagent tables.Reagent, amount measure.Amount, grams float64) error {
	before, err := t.PH()
	if err != nil {
		return err
	}
	e := Added{reagent, amount}
	if err := t.Add(e); err != nil {
		return err
	}
	after, err := t.PH()
	if err != nil {
		return err
	}
	u := &t.model.setup
	r.Overshot = r.Overshot || after < u.Target-u.Step && before >= u.Target-u.Step || after > u.Target+u.Step && before <= u.Target+u.Step
	r.Additions++
	r.Grams += grams
	r.Log = append(r.Log, e)
	r.PH = after
	if r.Reached < 0 && after >= u.Low && after <= u.High {
		r.Reached = r.Additions
	}
	return nil
}

// compare counts the ranges that hold the truth.
func (t *Trial) compare(r *Run, p *Posterior, a *Advice) error {
	count := func(in, asked *int, x tables.Range, truth float64) {
		*asked++
		if truth >= x.Low && truth <= x.High {
			*in++
		}
	}
	count(&r.Inside.PH, &r.Asked.PH, a.PH, r.PH)
	count(&r.Inside.EDTA, &r.Asked.EDTA, p.EDTA(), t.edta)
	if a.Action != Add {
		return nil
	}
	reagent := t.model.setup.Acid
	if a.Reagent != reagent.Name {
		reagent = t.model.setup.Base
	}
	need, err := t.Need(reagent, t.model.setup.Target)
	if errors.Is(err, solution.ErrUnreachable) {
		need, err = math.Inf(-1), nil
	}
	if err != nil {
		return err
	}
	count(&r.Inside.Need, &r.Asked.Need, a.NeedGrams, need)
	return nil
}

// FollowSpoons is a plain habit: add the same spoonful again and again until the
// strip shows the target or less.
func (t *Trial) FollowSpoons(s tables.Strip, spoon unit.Volume) (*Run, error) {
	r := &Run{Reached: -1}
	acid := t.model.setup.Acid
	for {
		if err := t.look(r, s); err != nil {
			return nil, err
		}
		if seen := r.Log[len(r.Log)-1].(Read); seen.Value <= t.model.setup.Target+1e-9 || r.Additions >= 1000 {
			return r, nil
		}
		if err := t.put(r, acid, measure.AmountOfVolume(spoon), float64(spoon)*1000*acid.Packing().Typical); err != nil {
			return nil, err
		}
	}
}

// FollowBook is another: add at once what a calculation for the salt on the label
// says, without looking.
func (t *Trial) FollowBook(label tables.Reagent, weighed bool) (*Run, error) {
	m := t.model
	r := &Run{Reached: -1}
	v, err := solution.New(m.tables, m.setup.Temperature)
	if err != nil {
		return nil, err
	}
	if err := v.AddWater(m.setup.Water, m.setup.Volume); err != nil {
		return nil, err
	}
	mass, err := m.setup.Amount.Weigh(label.Packing())
	if err != nil {
		return nil, err
	}
	if err := v.Add(label, mass.Typical()); err != nil {
		return nil, err
	}
	dose, err := v.Dose(m.setup.Acid, solution.PH(m.setup.Target))
	if err != nil {
		return nil, fmt.Errorf("reading: the dose for %s: %w", label.Name, err)
	}
	amount := measure.AmountOfMass(dose.Mass())
	if !weighed {
		amount = measure.AmountOfVolume(unit.Volume(float64(dose.Mass()) / m.setup.Acid.Packing().Typical))
	}
	return r, t.put(r, m.setup.Acid, amount, dose.MassGrams)
}
