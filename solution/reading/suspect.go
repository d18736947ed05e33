package reading

import (
	"cmp"
	"slices"
)

// Suspect is something told or read that the readings speak against.
type Suspect struct {
	Doubt  string  `json:"doubt"`  // id, as of [tables.Tables.Doubt]
	What   string  `json:"what"`   // in words
	Chance float64 `json:"chance"` // that it is wrong, by all that was read
	Tell   string  `json:"tell"`   // what would show it
}

// Readings speak against something once it is likely by itself and more so than
// before them: judgement.
const likely, likelier = 0.25, 2

// Suspects returns what does not fit, the most likely first: which of label, amount,
// water, instrument and reading is probably wrong.
func (p *Posterior) Suspects() (out []Suspect) {
	if p.model == nil {
		return nil
	}
	for k := range p.model.doubts {
		d := &p.model.doubts[k]
		before, now := p.wrong(k)
		if now >= likely && now >= likelier*before {
			out = append(out, Suspect{d.ID, d.Name, now, d.Tell})
		}
	}
	slices.SortStableFunc(out, func(a, b Suspect) int { return cmp.Compare(b.Chance, a.Chance) })
	return out
}

// wrong returns the chance of a doubt before anything was read, and now.
func (p *Posterior) wrong(k int) (before, now float64) {
	m := p.model
	d := &m.doubts[k]
	switch k {
	case inLabel, inKind:
		suspect := func(s *salt) bool { return s.other == (k == inKind) && !s.named }
		for i := range m.salts {
			if suspect(&m.salts[i]) {
				before += m.salts[i].prior
			}
		}
		return before, p.share(func(i int) bool { return suspect(&m.salts[p.cloud.salt[i]]) })
	case inReading:
		for _, g := range p.gross {
			now = max(now, g)
		}
		return d.More, now
	}
	latents := p.course.behind(k)
	return float64(len(latents)) * (d.Less + d.More), p.share(func(i int) bool { return d.among(p.cloud.row(i), latents) })
}

// among reports whether one of the deviates stands for something wrong.
func (d *doubt) among(z []float64, latents []int) bool {
	return slices.ContainsFunc(latents, func(l int) bool { return d.wrong(z[l]) })
}

// behind returns the latents that a doubt is about.
func (c *course) behind(k int) (latents []int) {
	if l, ok := doubted[k]; ok {
		return []int{l}
	}
	first, n := common, 0
	switch k {
	case inCount:
		n = c.amounts
	case inOffset:
		first, n = common+c.amounts, len(c.strips)
	}
	for l := range n {
		latents = append(latents, first+l)
	}
	return latents
}

// doubted are the latents of the doubts that have one.
var doubted = map[int]int{inStrength: ofAssay, inAlkali: ofFreeBase, inWater: ofWater, inGas: ofGas, inSetter: ofSetter, inHeap: ofHeap}

// sound returns the baths of the cloud of which all that is told is right.
func (p *Posterior) sound() *Posterior {
	q, w := *p, *p.cloud
	q.cloud, q.now, q.pH = &w, nil, nil
	w.salt, w.z, w.n = nil, nil, 0
	for i := range p.cloud.n {
		z, k := p.cloud.row(i), &p.model.salts[p.cloud.salt[i]]
		wrong := !k.named
		for d := range p.model.doubts {
			wrong = wrong || p.model.doubts[d].among(z, p.course.behind(d))
		}
		if !wrong {
			w.salt, w.z, w.n = append(w.salt, p.cloud.salt[i]), append(w.z, z...), w.n+1
			q.now, q.pH = append(q.now, p.now[i]), append(q.pH, p.pH[i])
		}
	}
	return &q
}
