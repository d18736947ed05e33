package bath

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/root"
	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// Dosing is how a dose goes in a tub as it stands: see [solution.OpenDose] for the two doses.
type Dosing struct {
	solution.OpenDose
	// AdvisedGrams is the dose for good; under a lid, where the gas stays, the one for now, whose
	// gas FizzLitres and GasLitres then are.
	AdvisedGrams float64 `json:"advised_g"`
	// DaysTo is when the pH with the dose for good is within 0.1 of the target, by the range of
	// the gas transfer velocity; zero where there is nothing to wait for.
	DaysTo tables.Range `json:"days_to_target"`
	Text   string       `json:"text"`
}

// A pH has arrived this near to its target, and what arrives later than half a year does
// not arrive; less gas nobody sees: judgement.
const (
	nearTarget  = 0.1  // pH
	leastFoam   = 0.1  // L of gas that are told
	longestWait = 4380 // h
	minute      = 1. / 60
	looks       = 69 // each a fifth later than the last
)

// waits are the hours at which one looks.
var waits = append([]float64{0}, floats.LogSpan(make([]float64, looks), minute, longestWait)...)

// OpenDose returns how a reagent brings a pH about in the tub as it stands.
func (b *Bath) OpenDose(r tables.Reagent, pH float64) (Dosing, error) {
	d, err := b.place.Dose(&b.Solution, r, pH)
	if err == nil && d.Waits() && b.place.Open() {
		start := b.Clone()
		_, err = start.AddFizzing(r, unit.Mass(d.ForGoodGrams/1000))
		for i, days := range []*float64{&d.DaysTo.Low, &d.DaysTo.Typical, &d.DaysTo.High} {
			hours, err2 := start.odd(Parts{}, "gas", float64(1-i)*spread.NineInTen, waits...) // the fastest first
			err = cmp.Or(err, err2)
			near := Past(hours, d.Target.Value-nearTarget, func(h Hour) tables.Range { return h.PH }) // gas that leaves raises it
			*days = cmp.Or(near.Typical, longestWait) / 24
		}
	}
	if err != nil {
		return Dosing{}, err
	}
	portion := solution.NewPortion(r, unit.Mass(d.AdvisedGrams/1000)).Text()
	end := either(d.Told(d.Target.Value, d.AdvisedGrams) != "", "", fmt.Sprintf(" for pH %.1f", d.Target.Value))
	d.Text = strings.TrimSpace(fmt.Sprintf("%s of %s%s. %s", portion, r.Name, end, d.Beside()))
	return d, nil
}

// Dose returns the doses for a pH in a vessel that stands so, not when the pH arrives.
func (p Place) Dose(v *solution.Solution, r tables.Reagent, pH float64) (d Dosing, err error) {
	d.OpenDose, err = v.OpenDose(r, pH)
	if d.AdvisedGrams = d.ForGoodGrams; p.Open() {
		return d, err
	}
	in := v.Clone()
	if err != nil || d.NowGrams == 0 { // what cannot be for good may be for now
		d.ReagentID, d.Reagent, d.Target = r.ID, r.Name, solution.PH(pH)
		if d.NowGrams, err = in.Bring(r, d.Target); err == nil {
			d.FizzLitres, err = in.Fizz()
		}
	} else {
		d.FizzLitres, err = in.AddFizzing(r, unit.Mass(d.NowGrams/1000))
	}
	d.AdvisedGrams = d.NowGrams
	left, err2 := in.Degas()
	st, err3 := in.Equilibrate()
	if err = cmp.Or(err, err2, err3); err == nil {
		d.GasLitres, d.NowEndPH = d.FizzLitres+max(0, left), st.PH
	}
	return d, err
}

// degas lets the gas go that leaves a vessel that stands so, and returns it in L: under a lid
// what fizzes, open what the air does not hold there.
func (p Place) degas(v *solution.Solution) (litres float64, err error) {
	if !p.Open() {
		return v.Fizz()
	}
	aired := v.Clone()
	if litres, err = aired.Degas(); err != nil || litres <= 0 {
		return 0, err
	}
	*v = *aired
	return litres, nil
}

// Beside tells the doses for now and for good, and how the pH comes about; nothing where gas
// changes nothing.
func (d *Dosing) Beside() string {
	target := d.Target.Value
	text := d.Told(target, d.AdvisedGrams)
	if !d.Waits() {
		return text
	}
	gas, days := measure.FormatLitres(d.GasLitres), ""
	if d.DaysTo.High > 0 {
		days = " in " + daysText(d.DaysTo)
	}
	if d.AdvisedGrams == d.ForGoodGrams {
		text += fmt.Sprintf(" The pH starts at %.1f and comes to %.1f%s as %s of carbon dioxide leave", d.StartPH, target, days, gas)
		text += either(d.NowGrams > 0, fmt.Sprintf("; what shows it today ends near %.1f.", d.NowEndPH), ".")
	} else {
		text += fmt.Sprintf(" The lid keeps the gas in; once it is off, %s of carbon dioxide leave and the pH goes to %.1f.", gas, d.NowEndPH)
	}
	if d.FizzLitres > leastFoam {
		text += fmt.Sprintf(" %s fizz out at once: add it in portions, in a tub with room for foam and never closed.", measure.FormatLitres(d.FizzLitres))
	}
	if d.DaysTo.High > 0 {
		text += fmt.Sprintf(" If it has to be %.1f today, stir and wait; do not add.", target)
	}
	return strings.TrimPrefix(text, " ")
}

// daysText writes a range of days, in hours or minutes, none of them nought, where it is short.
func daysText(r tables.Range) string {
	const inHours, inMinutes = 1.5, 1. / 24
	perDay, word := 24.0, "hour"
	switch {
	case r.Typical >= longestWait/24:
		return "half a year or never"
	case r.High >= inHours:
		return fmt.Sprintf("%.2g days (%.2g to %.2g)", r.Typical, r.Low, r.High)
	case r.High < inMinutes:
		perDay, word = 1440, "minute"
	}
	n := max(1, perDay*r.Typical)
	return fmt.Sprintf("%.0f %s (%.0f to %.0f)", n, either(math.Round(n) == 1, word, word+"s"), max(1, perDay*r.Low), max(1, perDay*r.High))
}

// Read returns the bath as a reading of its pH has it and, where gas explains that, the pH to
// which the rest of it leads; otherwise zero. A reading from the pH of [Bath.State] up to that in
// balance with the air of a room, give or take a tolerance, is carbon dioxide that left, and a
// lid that let it out counts as a board. For any other see [Bath.At].
func (b *Bath) Read(pH, tolerance float64) (at *Bath, airedPH float64, err error) {
	st, err := b.State()
	if err = cmp.Or(err, chem.Within("pH", pH, lowestPH, highestPH, ""), chem.Within("tolerance of a reading", tolerance, 0, 2, "")); err != nil {
		return nil, 0, err
	}
	open := b.Solution.Clone()
	litres, err := open.Degas()
	end, err2 := open.Equilibrate()
	if err = cmp.Or(err, err2); err != nil {
		return nil, 0, err
	}
	if pH <= st.PH+tolerance || pH > end.PH+tolerance || end.PH <= st.PH+tolerance {
		at, err = b.At(pH)
		return at, 0, err
	}
	gas := litres / chem.MolarVolume(b.Temperature())
	if pH < end.PH {
		const near = 1e-4 // of the gas: finer than any reading
		gas, err = root.Last(0, gas, near*gas, func(moles float64) (bool, error) {
			v := b.Solution.Clone()
			if err := v.React(byDegassing, unit.Mole(moles)); err != nil {
				return false, err
			}
			st, err := v.Equilibrate()
			return err == nil && st.PH <= pH, err
		})
	}
	if at = b.Clone(); !at.place.Open() {
		at.place.Cover = Boarded
	}
	return at, end.PH, cmp.Or(err, at.React(byDegassing, unit.Mole(gas)))
}

// GasReading is a pH that was read after some hours in the open.
type GasReading struct {
	Hours     float64 `json:"hours"`
	PH        float64 `json:"ph"`
	Tolerance float64 `json:"tolerance_ph"` // standard deviation: 0.1 for a meter, 0.3 for a strip of half units
}

// Learn returns the place where the tub stands with its gas transfer velocity learned from
// readings: of plain tap water left in it for a day, say, or of an open bath of soda read
// twice. The bath is as it was at the start. What is believed at first is the range of the
// cover; a reading at hour 0 tells how far the strip or the water are off. One reading in fifty
// is allowed to be a mistake; where mistakes explain them best nothing is learned, nor fits.
func (b *Bath) Learn(readings ...GasReading) (p Place, fits bool, err error) {
	x, err := b.Exchange()
	if err != nil {
		return Place{}, false, err
	}
	p = b.place
	if !p.Open() {
		return p, false, &chem.InputError{Field: "cover of the tub", Value: string(cmp.Or(p.Cover, Lidded)), Want: "one that lets gas through, to learn how fast"}
	}
	times := []float64{0}
	for _, r := range readings {
		err = cmp.Or(err, chem.Within("hours of a reading", r.Hours, times[len(times)-1], mostHours, "h"),
			chem.Within("pH read", r.PH, lowestPH, highestPH, ""), chem.Within("tolerance of a reading", r.Tolerance, 0.01, 2, ""))
		times = append(times, r.Hours)
	}
	if err == nil && times[len(times)-1] == 0 {
		err = &chem.InputError{Field: "readings", Value: "none after the start", Want: "one at least"}
	}
	if err != nil {
		return p, false, err
	}
	const grid, widest, mistake = 41, 3.0, 0.02
	var logs, weights []float64
	mistaken := 0.0
	for _, z := range floats.Span(make([]float64, grid), -widest, widest) {
		hours, err := b.odd(Parts{}, "gas", z, times...)
		if err != nil {
			return p, false, err
		}
		weight, offset := math.Exp(-z*z/2), 0.0
		alike := weight // if all of them were mistakes
		for i, r := range readings {
			if off := r.PH - hours[1+i].PH.Typical; r.Hours == 0 {
				offset = off
			} else {
				weight *= mistake + (1-mistake)*math.Exp(-math.Pow((off-offset)/r.Tolerance, 2)/2)
				alike *= mistake
			}
		}
		mistaken += alike
		logs, weights = append(logs, math.Log(spread.LogAt(x.GasCmPerHour, z))), append(weights, weight)
	}
	sum := floats.Sum(weights)
	if sum < 2*mistaken {
		return p, false, nil
	}
	floats.Scale(1/sum, weights)
	p.GasCmPerHour = spread.OfLogs(logs, weights, 0)
	return p, true, nil
}
