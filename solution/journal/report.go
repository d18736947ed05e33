package journal

import (
	"cmp"
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"time"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

// Report is the state of a bath with its remaining capacity and next step.
type Report struct {
	Tally        Tally           `json:"tally"`
	VolumeLitres float64         `json:"volume_l"`
	PH           float64         `json:"ph_computed"`
	ReadPH       *float64        `json:"ph_read,omitempty"` // the last one, if nothing happened since
	Capacities   bath.Capacities `json:"capacities"`        // zero where more is dissolved than there are figures of
	Redox        bath.Redox      `json:"iron"`
	Diagnosis    bath.Diagnosis  `json:"diagnosis"`
	Notes        []string        `json:"notes,omitempty"`
}

// Report tells how the bath stands for an oxide and a pH at which it is meant to work, and
// what to do with the reagents at hand, or with those that it was made of. A last reading
// that differs from the computed pH by more than its resolution is believed: the report is
// about a bath brought there by strong acid or base that nobody wrote down.
func (l *Life) Report(o bath.Oxide, want float64, atHand ...tables.Reagent) (*Report, error) {
	if l.bath == nil {
		return nil, &chem.InputError{Field: "journal", Value: "without a bath", Want: "an event that mixes one, first of all"}
	}
	b := l.Bath()
	st, err := b.State()
	if err != nil {
		return nil, err
	}
	r := &Report{Tally: l.Tally(), VolumeLitres: b.Litres(), PH: st.PH, Notes: l.doubts()}
	if l.reading.PH != nil {
		r.ReadPH = l.reading.clone().PH
		if b, err = r.believe(b, *r.ReadPH, l.reading.ResolutionPH); err != nil {
			return nil, err
		}
	}
	if text := r.Tally.apart(bath.HoldingsOf(st).Counted().Total()); text != "" {
		r.Notes = append(r.Notes, text)
	}
	for _, s := range st.Solids {
		if s.Moles > 0 {
			r.Notes = append(r.Notes, fmt.Sprintf("%s has settled: let it sink and filter it off; it takes room on parts and no longer works.", s.Name))
		}
	}
	var err1, err2, err3 error
	r.Capacities, err1 = b.Capacities(o, want)
	r.Redox, err2 = b.Redox()
	for _, p := range r.Tally.Reagents {
		made, _ := l.tables.Reagent(p.Reagent) // which was found when it went in
		atHand = append(atHand, made)
	}
	r.Diagnosis, err3 = b.Diagnose(o, want, atHand...)
	if errors.Is(err1, bath.ErrLimitless) { // so much is in it that there are no figures, as the diagnosis says
		err1 = nil
	}
	return r, cmp.Or(err1, err2, err3)
}

// apart tells what the chelant, of which so much in mol is left, went to besides rust.
func (x Tally) apart(left float64) string {
	const telling = 0.01 // of the chelant; of less nothing is said: judgement
	steel, whole := x.SteelGrams/bath.IronMolarMass, left+x.LightSpoiltMoles+x.AirSpoiltMoles
	if steel+whole-left < telling*whole {
		return ""
	}
	share := func(moles float64) float64 { return 100 * moles / whole }
	return fmt.Sprintf("Of the chelant rust took %.0f %% and bare steel %.0f %% (%s of it went); light destroyed %.0f %% and air %.0f %%.",
		share(x.RustGrams/bath.RustMolarMass), share(steel), measure.FormatGrams(x.SteelGrams), share(x.LightSpoiltMoles), share(x.AirSpoiltMoles))
}

// believe returns the bath as a reading has it, and notes what would explain a difference.
func (r *Report) believe(b *bath.Bath, read, resolution float64) (*bath.Bath, error) {
	off := read - r.PH
	if math.Abs(off) <= resolution {
		return b, nil
	}
	direction, why := "above", "more rust dissolved than was written down, less acid or more base went in, or the strip misleads"
	if off < 0 {
		direction, why = "below", "less rust dissolved than was written down, more acid went in, or the strip misleads"
	}
	told := fmt.Sprintf("The reading, pH %.4g, lies %.1f %s what the events lead to (%.1f): ", read, math.Abs(off), direction, r.PH)
	if read < read0 || read > read1 {
		r.Notes = append(r.Notes, told+"neither strip nor meter tells a bath from another there; read again. What follows goes by the events.")
		return b, nil
	}
	at, aired, err := b.Read(read, resolution)
	if err != nil {
		return nil, err
	}
	if aired > 0 {
		why = fmt.Sprintf("carbon dioxide leaving, which takes it to %.1f without any rust or a wrong scoop; wait, and add no acid for that", aired)
	}
	r.Notes = append(r.Notes, told+why+". What follows believes the reading.")
	return at, nil
}

// doubts tells what was left out, and where a clock jumped.
func (l *Life) doubts() (notes []string) {
	const longPause = 2 * 365 * 24 * time.Hour // that a clock rather than a shop makes: judgement
	for _, n := range slices.Sorted(maps.Keys(l.aside)) {
		notes = append(notes, fmt.Sprintf("Event %d cannot have happened and is left out: %v. Strike it out or amend it.", n, l.aside[n]))
	}
	var last time.Time
	for n, e := range standing(l.events) {
		pause := e.At.Sub(last)
		apart := rust.RoughTime(pause.Abs().Hours())
		if pause.Abs() > longPause {
			apart = fmt.Sprintf("%.0f years", pause.Abs().Hours()/24/365.25)
		}
		wrong := "after the one above it: was the clock right?"
		if pause < 0 {
			wrong = "before the one above it: one of the two clocks was wrong. The order is that of the file."
		}
		if !last.IsZero() && (pause < 0 || pause > longPause) {
			notes = append(notes, fmt.Sprintf("Event %d is dated %s, %s %s", n, e.At.Format(dateTime), apart, wrong))
		}
		last = e.At
	}
	return notes
}
