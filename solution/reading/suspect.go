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
	m, c := p.model, p.course
	d := &m.doubts[k]
	var latents []int
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
	case inStrength:
		latents = []int{ofAssay}
	case inAlkali:
		latents = []int{ofFreeBase}
	case inWater:
		latents = []int{ofWater}
	case inGas:
		latents = []int{ofGas}
	case inSetter:
		latents = []int{ofSetter}
	case inHeap:
		latents = []int{ofHeap}
	case inCount, inOffset:
		first, n := common, c.amounts
		if k == inOffset {
			first, n = common+c.amounts, len(c.strips)
		}
		for l := range n {
			latents = append(latents, first+l)
		}
	}
	return float64(len(latents)) * (d.Less + d.More), p.share(func(i int) bool {
		return slices.ContainsFunc(latents, func(l int) bool { return d.wrong(p.cloud.row(i)[l]) })
	})
}
