package reading

import (
	"cmp"
	"slices"

	"gonum.org/v1/gonum/floats"
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
	switch k {
	case inReading:
		return d.More, slices.Max(append(p.gross, 0))
	case inBlend: // what something else is like
		return 0, 0
	}
	is, places := p.is(k)
	if before = float64(places) * (d.Less + d.More); k == inLabel {
		before = 1 - p.model.doubts[inKind].More - p.model.told
	}
	return before, p.share(is)
}

// is returns whether a doubt holds in a bath, and of how many things there.
func (p *Posterior) is(k int) (is func(b *bath) bool, places int) {
	from, to := k, k+1
	switch k {
	case inLabel:
		return func(b *bath) bool { return !b.salt.other && !b.salt.named }, 1
	case inKind:
		return func(b *bath) bool { return b.salt.other }, 1
	case inCount:
		from, to = common, p.course.offset()
	case inOffset:
		from, to = p.course.bias(), p.course.latents()
	}
	return func(b *bath) bool { return slices.ContainsFunc(b.z[from:to], p.model.doubts[k].wrong) }, to - from
}

// favouring returns the weights of the baths where the odds of each doubt are at the end of their
// class, a factor of the table's to either side, at which an event is likelier: nobody knows those
// of one bag or strip (robust Bayes: Berger, Statistical Decision Theory and Bayesian Analysis,
// 1985, ch. 4.7). What is stated holds for all of the class; what is poured goes by the odds told.
func (p *Posterior) favouring(event func(b *bath) bool) []float64 {
	weights := p.weights()
	for k := range p.model.doubts {
		times := p.model.doubts[k].Odds
		if times <= 1 {
			continue
		}
		is, _ := p.is(k)
		if p.share(func(b *bath) bool { return event(b) && is(b) }) < p.share(event)*p.share(is) {
			times = 1 / times
		}
		for i := range weights {
			if is(&p.baths[i]) {
				weights[i] *= times
			}
		}
	}
	floats.Scale(1/floats.Sum(weights), weights)
	return weights
}
