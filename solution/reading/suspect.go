package reading

import (
	"cmp"
	"slices"
)

// Suspect is something told or read that the readings speak against.
type Suspect struct {
	Doubt  string  `json:"doubt"`  // id, as of [tables.Doubt]
	What   string  `json:"what"`   // in words
	Chance float64 `json:"chance"` // that it is wrong, by all that was read
	Tell   string  `json:"tell"`   // what would show it
}

// Suspects returns what does not fit, the most likely first: which of label, amount,
// water, instrument and reading is probably wrong.
func (p *Posterior) Suspects() (out []Suspect) {
	if p.cloud == nil {
		return nil
	}
	const likely, likelier, half = 0.25, 2, 0.5 // by itself, than before the readings, and of something else: judgement
	for k := range p.model.doubts {
		d := p.model.doubts[k]
		before, now := p.wrong(k)
		if now < likely || now < likelier*before {
			continue
		}
		for _, s := range p.model.strangers {
			if s.powder != nil && k == inKind && p.share(func(b *bath) bool { return b.salt.reagent.ID == s.reagent.ID }) > half*now {
				d.Name += ", most like " + s.reagent.Name
			}
		}
		out = append(out, Suspect{d.ID, d.Name, now, d.Tell})
	}
	slices.SortStableFunc(out, func(a, b Suspect) int { return cmp.Compare(b.Chance, a.Chance) })
	return out
}

// wrong returns the chance of a doubt before anything was read, and now.
func (p *Posterior) wrong(k int) (before, now float64) {
	d := &p.model.doubts[k]
	from, to := k, k+1
	switch k {
	case inLabel:
		return 1 - p.model.doubts[inKind].More - p.model.told, p.share(func(b *bath) bool { return !b.salt.other && !b.salt.named })
	case inKind:
		return d.More, p.share(func(b *bath) bool { return b.salt.other })
	case inReading:
		return d.More, slices.Max(append(p.gross, 0))
	case inBlend: // what something else is like
		return 0, 0
	case inCount:
		from, to = common, p.course.offset()
	case inOffset:
		from, to = p.course.bias(), p.course.latents()
	}
	return float64(to-from) * (d.Less + d.More), p.share(func(b *bath) bool { return slices.ContainsFunc(b.z[from:to], d.wrong) })
}
