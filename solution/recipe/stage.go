package recipe

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
)

// Step is one addition of acid.
type Step struct {
	Portion  solution.Portion `json:"portion"`
	Times    int              `json:"times"`     // how often, if all goes as expected
	PHFrom   float64          `json:"ph_from"`   // expected before
	PHTo     float64          `json:"ph_to"`     // expected after the last time
	PHChange float64          `json:"ph_change"` // the most that one portion is expected to move the pH
	Text     string           `json:"text"`
}

// mostPerStep is the change of pH that a portion near the end may make: half a
// step of a pH strip that reads whole units.
const mostPerStep = 0.5

// stage divides the dose: at once what the forecast holds safe, then equal portions
// that each move the pH by half a unit at most in the steepest part between
// there and the target.
func (r Recipe) stage(fresh *solution.Solution, p *Plan) ([]Step, error) {
	dose := p.Acid.MassGrams
	if dose == 0 {
		return nil, nil
	}
	first := r.round(min(p.Forecast.FirstGrams, p.Acid.MassLowGrams))
	ph := p.Curve[0].PH
	var steps []Step
	if first > 0 {
		after, err := r.after(fresh, first)
		if err != nil {
			return nil, err
		}
		portion := solution.NewPortion(r.Acid, unit.Mass(first)*measure.Gram)
		steps = append(steps, Step{Portion: portion, Times: 1, PHFrom: ph, PHTo: after, PHChange: math.Abs(after - ph),
			Text: fmt.Sprintf("Stir in %s. Wait until it is all dissolved, then read: expect a pH near %.1f.", portion.Text(), after)})
		ph = after
	}
	rest := dose - first
	if rest <= leastRest*dose {
		return steps, nil // the first portion was all of it
	}
	steepest := r.steepest(p.Curve, ph)
	size := r.round(min(rest, steepest))
	if size <= 0 {
		size = min(rest, steepest)
	}
	times := max(1, int(math.Round(rest/size)))
	portion := solution.NewPortion(r.Acid, unit.Mass(size)*measure.Gram)
	change, at := 0.0, ph
	for n := 1; n <= times; n++ {
		next, err := r.after(fresh, first+float64(n)*size)
		if err != nil {
			return nil, err
		}
		change, at = max(change, math.Abs(next-at)), next
	}
	return append(steps, Step{Portion: portion, Times: times, PHFrom: ph, PHTo: at, PHChange: change,
		Text: fmt.Sprintf("Then %s at a time. Stir for some minutes and read after each; stop as soon as you read %.1f or it changes to the next colour beyond. Expect %s.",
			portion.Text(), p.PHAfter, count(times, "portion"))}), nil
}

// leastRest is the part of the dose that no further portion is worth: less than a
// kitchen scale is off by.
const leastRest = 0.02

// steepest returns the fewest grams that make a portion's change of pH anywhere
// between here and the target.
func (r Recipe) steepest(curve []Point, pH float64) float64 {
	low, high := min(pH, r.PH), max(pH, r.PH)
	least := math.Inf(1)
	for _, c := range curve[1:] {
		if c.PH < high+curveStep/2 && c.PH > low-curveStep/2 && c.GramsPerHalfPH > 0 {
			least = min(least, c.GramsPerHalfPH)
		}
	}
	return least * mostPerStep / curveStep
}

func count(n int, what string) string {
	if n == 1 {
		return "one " + what
	}
	return fmt.Sprintf("about %d %ss", n, what)
}

// after returns the pH once grams of acid are in.
func (r Recipe) after(s *solution.Solution, grams float64) (float64, error) {
	v := s.Clone()
	if err := v.Add(r.Acid, unit.Mass(grams/1000)); err != nil {
		return 0, err
	}
	if r.Place.Open() { // what cannot stay dissolved is gone by the reading
		if _, err := v.Fizz(); err != nil {
			return 0, err
		}
	}
	st, err := v.Equilibrate()
	if err != nil {
		return 0, err
	}
	return st.PH, nil
}

// mostAbove is how far a spoonful may exceed the mass asked for.
const mostAbove = 1.05

// round takes a mass in g to spoons that exist and hold no more than a little
// above it, or down to two digits where no spoon measures it.
func (r Recipe) round(grams float64) float64 {
	if grams <= 0 {
		return 0
	}
	if d := r.Acid.Packing(); d.Typical > 0 {
		_, holds, err := measure.Spoons(d.VolumeOf(unit.Mass(grams / 1000)))
		if spoons := d.MassOf(holds).TypicalGrams; err == nil && spoons > 0 && spoons <= mostAbove*grams {
			return spoons
		}
	}
	return measure.RoundDown(grams)
}
