package reading

import (
	"cmp"
	"slices"

	"example.com/chelation/chem/measure"
	"example.com/chelation/tables"
)

// Remedy is a way to raise the pH after an overshoot.
type Remedy struct {
	Reagent   string       `json:"reagent"`
	MassGrams tables.Range `json:"mass_g"` // to the target; of carbonates, once their gas has left
	SafeGrams float64      `json:"safe_g"` // the largest addition now
	// TodayGrams of a carbonate would show the target at once, and end beyond it.
	TodayGrams float64 `json:"today_g,omitempty"`
	// SaltMoles is what it leaves in the bath without any use, in mol of sodium or
	// potassium. A salt of the chelant leaves the same but brings chelant with it.
	SaltMoles float64 `json:"salt_mol"`
	Note      string  `json:"note"`
}

// notes tell what to mind of soda, bicarbonate, lye, and the salt of the chelant that
// brings the most base: common practice, no source.
var notes = [...]string{
	"in small portions in an open tub, it fizzes while the bath is sour; the pH starts low and arrives within days, as gas leaves. Do not add until it shows today",
	"gentle; it fizzes most, in an open tub only; the pH starts low and arrives within days, as gas leaves. Do not add until it shows today",
	"little is needed and nothing is wasted, but it burns eyes and skin and easily overshoots",
	"the dearest, and the one that makes the bath stronger instead of saltier",
}

// kinds returns a powder of each, no reagent where there is none: the base of the setup
// if it is one, or the first of the tables; of the salts the one with the most water,
// which is the cheapest.
func (m *Model) kinds() (out [len(notes)]tables.Reagent) {
	var best salt
	for _, r := range m.basis.shelf {
		made := m.basis.makeup(r)
		k, ok := m.basis.salt(r)
		kind := 0
		switch {
		case r.Form != tables.Powder:
			continue
		case ok:
			if k.base > best.base || k.base == best.base && k.perGram < best.perGram {
				best, out[3] = k, r
			}
			continue
		case made.lye():
			kind = 2
		case !r.Carbonated():
			continue
		case made.protons > 0:
			kind = 1
		}
		if out[kind].ID == "" || r.ID == m.setup.Base.ID {
			out[kind] = r
		}
	}
	return out
}

// Remedies returns how to raise the pH to the target with the usual bases, by
// the salt they leave behind. Bases of which no amount reaches the target are
// left out, and all are when the middle of the cloud is not below it.
func (p *Posterior) Remedies() ([]Remedy, error) {
	if err := p.ready(); err != nil {
		return nil, err
	}
	var out []Remedy
	for kind, r := range p.model.kinds() {
		if r.ID == "" {
			continue
		}
		x, err := p.remedy(r)
		if err != nil {
			return nil, err
		}
		if x.Note = append(r.Synonyms, r.Name)[0] + ": " + notes[kind]; x.MassGrams.Typical > 0 {
			out = append(out, x)
		}
	}
	slices.SortStableFunc(out, func(a, b Remedy) int { return cmp.Compare(a.SaltMoles, b.SaltMoles) })
	return out, nil
}

// remedy is what a reagent would do; nothing if it is none.
func (p *Posterior) remedy(r tables.Reagent) (x Remedy, err error) {
	s := &p.model.setup
	t, err := p.model.template(r)
	if err != nil {
		return x, err
	}
	if t.open = false; r.Carbonated() {
		if need, never := p.needs(&t, 1, s.PH); never < 0.5 {
			x.TodayGrams = max(0, p.span(need).Typical)
		}
	}
	t.open = true
	need, never := p.needs(&t, 1, s.PH)
	grams := p.span(need)
	if !(grams.Typical > 0) || never >= 0.5 {
		return x, nil
	}
	limit, _ := p.needs(&t, 1, s.PH+Step)
	x.Reagent, x.MassGrams = r.Name, tables.Range{Low: max(0, grams.Low), Typical: grams.Typical, High: grams.High}
	x.SafeGrams = measure.RoundDown(min(p.safe(limit, p.risk()), grams.Typical))
	x.SaltMoles = grams.Typical * r.MolPerGram().Typical * p.model.basis.makeup(r).alkali
	return x, nil
}
