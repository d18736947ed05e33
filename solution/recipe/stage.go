package recipe

import (
	"cmp"
	"fmt"
	"math"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// Step is one addition of acid.
type Step struct {
	Portion solution.Portion `json:"portion"`
	Times   int              `json:"times"`   // how often, if all goes as expected
	PHFrom  float64          `json:"ph_from"` // expected before
	PHTo    float64          `json:"ph_to"`   // expected after the last time
	Text    string           `json:"text"`
}

// stage divides the dose: at once what the forecast holds safe, then equal portions that each
// move the pH by half a unit at most in the steepest part between there and the target, after
// halves of what is missing where that would be too many.
func (r Recipe) stage(fresh *solution.Solution, p *Plan) (steps []Step, err error) {
	in, pH := 0.0, p.Curve[0].PH
	pour := func(grams float64, times int, say func(Step) string) error {
		in += grams * float64(times)
		v := fresh.Clone()
		_, err := v.AddFizzing(r.Acid, unit.Mass(in)*measure.Gram) // what cannot stay dissolved is gone by the reading
		st, err2 := v.Equilibrate()
		if err = cmp.Or(err, err2); err == nil {
			s := Step{Portion: solution.NewPortion(r.Acid, unit.Mass(grams)*measure.Gram), Times: times, PHFrom: pH, PHTo: st.PH}
			s.Text, pH = say(s), st.PH
			steps = append(steps, s)
		}
		return err
	}
	dose := p.Acid.MassGrams
	if first := r.round(min(p.Forecast.FirstGrams, p.Acid.MassLowGrams)); first > 0 {
		wait := "until it is all dissolved"
		if r.Acid.Form == tables.Liquid {
			wait = "some minutes"
		}
		err = pour(first, 1, func(s Step) string {
			return fmt.Sprintf("Stir in %s. Wait %s, then read: expect a pH near %.1f.", s.Portion.Text(), wait, s.PHTo)
		})
	}
	const leastRest = 0.02 // less than a kitchen scale is off by
	rest := dose - in
	if err != nil || rest <= leastRest*dose {
		return steps, err // the first portion was all of it
	}
	most := rest // down to the fewest grams that move the pH by a step of the curve from here on
	for _, c := range p.Curve[1:] {
		if c.PH < max(pH, r.PH)+curveStep/2 && c.PH > min(pH, r.PH)-curveStep/2 {
			most = min(most, c.GramsPerHalfPH)
		}
	}
	stop := p.PHAfter
	if p.InTheOpen != nil && !p.InTheOpen.Waits() {
		stop = p.InTheOpen.Target.Value // what gas moves is less than a strip tells
	}
	then := func() string {
		if len(steps) == 0 {
			return "Stir in"
		}
		return "Then"
	}
	const mostTimes = 10 // portions alike: of more nobody keeps count
	size := r.round(most)
	for ; err == nil && rest > mostTimes*size; rest = dose - in {
		err = pour(r.round(rest/2), 1, func(s Step) string {
			return fmt.Sprintf("%s %s, half of what is missing. Stir for some minutes and read: expect a pH near %.1f, and stop at %.1f.", then(), s.Portion.Text(), s.PHTo, stop)
		})
	}
	times, expect := int(math.Round(rest/size)), "one portion"
	if times > 1 {
		expect = fmt.Sprintf("about %d portions", times)
	}
	last := pour(size, times, func(s Step) string {
		return fmt.Sprintf("%s %s at a time. Stir for some minutes and read after each; stop as soon as you read %.1f or it changes to the next colour beyond. Expect %s.",
			then(), s.Portion.Text(), stop, expect)
	})
	return steps, cmp.Or(err, last)
}

// round takes a mass in g to spoons that hold no more than a little above it, or down to two
// digits where no spoon measures it.
func (r Recipe) round(grams float64) float64 {
	const mostAbove = 1.05 // times the mass asked for
	d := r.Acid.Packing()
	_, holds, err := measure.Spoons(d.VolumeOf(unit.Mass(grams / 1000)))
	if spoons := d.MassOf(holds).TypicalGrams; err == nil && spoons > 0 && spoons <= mostAbove*grams {
		return spoons
	}
	return measure.RoundDown(grams)
}
