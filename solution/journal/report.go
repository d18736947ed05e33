package journal

import (
	"fmt"
	"math"

	"example.com/chelation/chem"
	"example.com/chelation/solution/bath"
	"example.com/chelation/tables"
)

// Report is the state of a bath with its remaining capacity and next step.
type Report struct {
	Tally        Tally           `json:"tally"`
	VolumeLitres float64         `json:"volume_l"`
	PH           float64         `json:"ph_computed"`
	ReadPH       *float64        `json:"ph_read,omitempty"` // the last one, if nothing happened since
	Capacities   bath.Capacities `json:"capacities"`
	Redox        bath.Redox      `json:"iron"`
	SettledGrams []bath.Amount   `json:"solids_g,omitempty"`
	Diagnosis    bath.Diagnosis  `json:"diagnosis"`
	Notes        []string        `json:"notes,omitempty"`
}

// Report tells how the bath stands for an oxide and a pH at which it is meant to
// work, and what to do with the reagents at hand, or with those that it was made of. Where the last event is a reading that
// differs from the computed pH by more than its resolution, the reading is
// believed: the report is about a bath brought there by strong acid or base
// that nobody wrote down.
func (l *Life) Report(o bath.Oxide, want float64, atHand ...tables.Reagent) (*Report, error) {
	if l.bath == nil {
		return nil, &chem.InputError{Field: "journal", Value: "without a bath", Want: "an event that mixes one, first of all"}
	}
	b := l.Bath()
	st, err := b.State()
	if err != nil {
		return nil, err
	}
	r := &Report{Tally: l.Tally(), VolumeLitres: b.Litres(), PH: st.PH}
	if l.reading.PH != nil {
		r.ReadPH = l.reading.clone().PH
		off := *r.ReadPH - st.PH
		if math.Abs(off) > l.reading.ResolutionPH {
			direction := "above"
			if off < 0 {
				direction = "below"
			}
			why := "more or less rust dissolved than was written down, or the strip misleads"
			aired, err := b.AiredPH()
			if err != nil {
				return nil, err
			}
			if off > 0 && *r.ReadPH < aired+l.reading.ResolutionPH && aired > st.PH+l.reading.ResolutionPH {
				why = fmt.Sprintf("carbon dioxide leaving, which takes it to %.1f without any rust or a wrong scoop; wait, and add no acid for that", aired)
			}
			r.Notes = append(r.Notes, fmt.Sprintf("The reading, pH %.4g, lies %.1f %s what the events lead to (%.1f): %s. What follows believes the reading.",
				*r.ReadPH, math.Abs(off), direction, st.PH, why))
			if b, err = b.At(*r.ReadPH); err != nil {
				return nil, err
			}
		}
	}
	for _, s := range st.Solids {
		if s.Moles > 0 {
			f, err := b.Tables().Formation(s.Species)
			if err != nil {
				return nil, err
			}
			r.SettledGrams = append(r.SettledGrams, bath.Amount{Name: s.Name, Value: s.Moles * f.Species.Formula.MolarMass()})
			r.Notes = append(r.Notes, fmt.Sprintf("%s has settled: let it sink and filter it off; it takes room on parts and no longer works.", s.Name))
		}
	}
	if r.Capacities, err = b.Capacities(o, want); err != nil {
		return nil, err
	}
	if r.Redox, err = b.Redox(); err != nil {
		return nil, err
	}
	for _, p := range r.Tally.Reagents {
		made, err := l.tables.Reagent(p.Reagent)
		if err != nil {
			return nil, err
		}
		atHand = append(atHand, made)
	}
	r.Diagnosis, err = b.Diagnose(o, want, atHand...)
	return r, err
}
