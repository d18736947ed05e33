package bath

import (
	"cmp"
	"fmt"
	"math"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/root"
	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// Dosing is how a dose goes in a tub as it stands: see [solution.OpenDose] for the two
// doses, of which the one for good is advised.
type Dosing struct {
	solution.OpenDose
	// DaysTo is when the pH with the dose for good is within 0.1 of the target, of
	// the range of the gas transfer velocity; zero under a lid, where the gas stays, and
	// where there is nothing to wait for.
	DaysTo tables.Range `json:"days_to_target"`
	Text   string       `json:"text"`
}

// A pH has arrived this near to its target, and what arrives later than half a year does
// not arrive; less gas nobody sees: judgement.
const (
	nearTarget  = 0.1  // pH
	leastFoam   = 0.1  // L of gas that are told
	longestWait = 4380 // h
)

// OpenDose returns how a reagent brings a pH about in the tub as it stands: how much is
// right for good, what the pH is on the way and when it arrives, and what would show it
// today. Under a lid the gas stays and what shows today is for good; the text says so.
func (b *Bath) OpenDose(r tables.Reagent, pH float64) (Dosing, error) {
	open, err := b.Solution.OpenDose(r, pH)
	if err != nil {
		return Dosing{}, err
	}
	d := Dosing{OpenDose: open}
	if d.Waits() && b.place.Open() {
		d.DaysTo, err = b.arrival(r, d)
	}
	d.Text = d.words(r, b.place.Open())
	return d, err
}

// arrival returns when the dose for good has brought the pH near its target.
func (b *Bath) arrival(r tables.Reagent, d Dosing) (tables.Range, error) {
	start := b.Clone()
	if err := start.Add(r, unit.Mass(d.ForGoodGrams/1000)); err != nil {
		return tables.Range{}, err
	}
	if _, err := start.Fizz(); err != nil {
		return tables.Range{}, err
	}
	goal := d.Target.Value - math.Copysign(nearTarget, d.Target.Value-d.StartPH)
	var days [3]float64
	for i, z := range []float64{spread.NineInTen, 0, -spread.NineInTen} { // the fastest first
		w := start.odd(Parts{}, figureGas, z)
		var hours []Hour
		for from, to := 0.0, 0.0; from < longestWait && PastPH(hours, goal).Typical == 0; from, to = to, max(1, 1.2*to) {
			h, err := w.until(3600*from, 3600*to, false)
			if err != nil {
				return tables.Range{}, err
			}
			hours = append(hours, h)
		}
		days[i] = cmp.Or(PastPH(hours, goal).Typical, longestWait) / 24
	}
	return tables.Range{Low: days[0], Typical: days[1], High: days[2]}, nil
}

// words puts a dosing into a few sentences.
func (d *Dosing) words(r tables.Reagent, open bool) string {
	grams := func(x float64) string { return measure.FormatMass(unit.Mass(x / 1000)) }
	target := d.Target.Value
	text := fmt.Sprintf("%s of %s", solution.NewPortion(r, unit.Mass(d.ForGoodGrams/1000)).Text(), r.Name)
	if !d.Waits() {
		return text + fmt.Sprintf(" for pH %.1f.", target)
	}
	text += fmt.Sprintf(" and no more: the pH starts at %.1f", d.StartPH)
	if open {
		text += fmt.Sprintf(" and comes to %.1f in %s as %s of carbon dioxide leave", target, daysText(d.DaysTo), measure.FormatLitres(math.Abs(d.GasLitres)))
	} else {
		text += fmt.Sprintf(" and stays there under a lid; without it, it comes to %.1f for good as %s of carbon dioxide leave", target, measure.FormatLitres(math.Abs(d.GasLitres)))
	}
	if d.FizzLitres > leastFoam {
		text += fmt.Sprintf(", %s of it fizzing out at once: add it in portions, in a tub with room for foam and never closed", measure.FormatLitres(d.FizzLitres))
	}
	text += "."
	if d.NowGrams > 0 {
		text += fmt.Sprintf(" %s would show %.1f today and end near %.1f.", grams(d.NowGrams), target, d.NowEndPH)
	}
	return text + fmt.Sprintf(" If it has to be %.1f today, stir and wait; do not add.", target)
}

// daysText writes a range of days.
func daysText(r tables.Range) string {
	if r.High < 1.5 {
		hours := max(1, 24*r.Typical)
		return fmt.Sprintf("%.0f %s (%.0f to %.0f)", hours, either(hours < 1.5, "hour", "hours"), max(1, 24*r.Low), max(1, 24*r.High))
	}
	if r.Typical >= longestWait/24 {
		return "half a year or never"
	}
	return fmt.Sprintf("%.2g days (%.2g to %.2g)", r.Typical, r.Low, r.High)
}

// Read returns the bath as a reading of its pH has it and, where gas explains that, the pH
// to which the rest of it leads; otherwise zero. A reading above the pH of [Bath.State] and
// no higher than that in balance with the air of a room, both give or take a tolerance,
// is carbon dioxide that left, neither a wrong scoop nor rust, and a lid that let it out
// counts as a board. For any other see [Bath.At].
func (b *Bath) Read(pH, tolerance float64) (at *Bath, airedPH float64, err error) {
	st, err := b.State()
	if err = cmp.Or(err, chem.Within("pH", pH, lowestPH, highestPH, ""), chem.Within("tolerance of a reading", tolerance, 0, 2, "")); err != nil {
		return nil, 0, err
	}
	aired, gas, err := b.aired()
	if err != nil {
		return nil, 0, err
	}
	if pH <= st.PH+tolerance || pH > aired+tolerance || aired <= st.PH+tolerance {
		at, err = b.At(pH)
		return at, 0, err
	}
	if pH < aired {
		gas, err = root.Last(0, gas, 1e-4*gas, func(moles float64) (bool, error) {
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
	return at, aired, cmp.Or(err, at.React(byDegassing, unit.Mole(gas)))
}

// aired returns the pH of the bath once it agrees with the air of a room, and the carbon
// dioxide in mol that has left it by then.
func (b *Bath) aired() (pH, gas float64, err error) {
	v := b.Solution.Clone()
	if _, err = v.Degas(); err != nil {
		return 0, 0, err
	}
	st, err := v.Equilibrate()
	before, err1 := b.Amount("CO3^2-")
	after, err2 := v.Amount("CO3^2-")
	if err = cmp.Or(err, err1, err2); err != nil {
		return 0, 0, err
	}
	return st.PH, float64(before - after), nil
}

// GasReading is a pH that was read after some hours in the open.
type GasReading struct {
	Hours float64 `json:"hours"`
	PH    float64 `json:"ph"`
	// Tolerance is the standard deviation of the reading: 0.1 for a meter, 0.3 for a
	// strip of half units.
	Tolerance float64 `json:"tolerance_ph"`
}

// Learn returns the place where the tub stands with its gas transfer velocity learned
// from readings: of plain tap water left in it for a day, say, or of an open bath of soda
// read twice. The bath is as it was at the start, and nothing but gas has changed it
// since. What is believed at first is the range of the cover; a reading at hour 0 tells
// how far the strip or the water are off, and shifts the others. One reading in fifty is
// allowed to be a mistake; fits is false where mistakes explain them best, and the
// velocity then is what it was.
func (b *Bath) Learn(readings ...GasReading) (p Place, fits bool, err error) {
	x, err := b.Exchange()
	if err != nil {
		return Place{}, false, err
	}
	p = b.place
	if !p.Open() {
		return p, false, &chem.InputError{Field: "cover of the tub", Value: string(cmp.Or(p.Cover, Lidded)), Want: "one that lets gas through, to learn how fast"}
	}
	last := 0.0
	for _, r := range readings {
		if err := cmp.Or(chem.Within("hours of a reading", r.Hours, last, mostHours, "h"), chem.Within("pH read", r.PH, lowestPH, highestPH, ""),
			chem.Within("tolerance of a reading", r.Tolerance, 0.01, 2, "")); err != nil {
			return p, false, err
		}
		last = r.Hours
	}
	if last == 0 {
		return p, false, &chem.InputError{Field: "readings", Value: "none after the start", Want: "one at least"}
	}
	offset := 0.0
	if readings[0].Hours == 0 {
		st, err := b.State()
		if err != nil {
			return p, false, err
		}
		offset, readings = readings[0].PH-st.PH, readings[1:]
	}
	const grid, widest, mistake = 41, 3.0, 0.02
	var logs, weights []float64
	sum, before := 0.0, 0.0
	for i := range grid {
		z := widest * (2*float64(i)/(grid-1) - 1)
		w := b.odd(Parts{}, figureGas, z)
		weight, from := math.Exp(-z*z/2), 0.0
		before += weight
		for _, r := range readings {
			h, err := w.until(3600*from, 3600*r.Hours, false)
			if err != nil {
				return p, false, err
			}
			from = r.Hours
			off := (r.PH - offset - h.PH.Typical) / r.Tolerance
			weight *= mistake + (1-mistake)*math.Exp(-off*off/2)
		}
		logs, weights = append(logs, math.Log(spread.LogAt(x.GasCmPerHour, z))), append(weights, weight)
		sum += weight
	}
	for i := range weights {
		weights[i] /= sum
	}
	if sum < 2*before*math.Pow(mistake, float64(len(readings))) {
		return p, false, nil
	}
	p.GasCmPerHour = spread.OfLogs(logs, weights, 0)
	return p, true, nil
}
