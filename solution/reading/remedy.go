package reading

import (
	"cmp"
	"fmt"
	"slices"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/internal/spread"
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

// remedies are what raises the pH, and what to mind: common practice, no source.
var remedies = []struct{ id, note string }{
	{"sodium-carbonate-monohydrate", "washing soda: in small portions in an open tub, it fizzes while the bath is sour; the pH starts low and arrives within days, as gas leaves. Do not add until it shows today"},
	{"sodium-bicarbonate", "baking soda: gentle; it fizzes most, in an open tub only; the pH starts low and arrives within days, as gas leaves. Do not add until it shows today"},
	{"sodium-hydroxide", "lye: little is needed and nothing is wasted, but it burns eyes and skin and easily overshoots"},
}

// dearest is the note on the salt of the chelant that brings the most base.
const dearest = "%s: the dearest, and the one that makes the bath stronger instead of saltier"

// alkaline returns the powder that brings the most base with the chelant; of
// several, the one with the most water, which is the cheapest.
func (b *basis) alkaline() (best salt) {
	for r := range b.tables.Reagents() {
		k, ok := b.salt(r)
		if ok && r.Form == tables.Powder && (k.base > best.base || k.base == best.base && k.perGram < best.perGram) {
			best = k
		}
	}
	return best
}

// Remedies returns how to raise the pH to the target with the usual bases, by
// the salt they leave behind. Bases of which no amount reaches the target are
// left out, and all are when the middle of the cloud is not below it.
func (p *Posterior) Remedies() ([]Remedy, error) {
	if err := p.ready(); err != nil {
		return nil, err
	}
	b := p.model.basis
	var out []Remedy
	for _, x := range remedies {
		r, err := b.tables.Reagent(x.id)
		if err == nil {
			out, err = p.remedy(out, r, x.note)
		}
		if err != nil {
			return nil, err
		}
	}
	if r := b.alkaline().reagent; r.ID != "" {
		var err error
		if out, err = p.remedy(out, r, fmt.Sprintf(dearest, append(slices.Clone(r.Synonyms), r.Name)[0])); err != nil {
			return nil, err
		}
	}
	slices.SortStableFunc(out, func(a, b Remedy) int { return cmp.Compare(a.SaltMoles, b.SaltMoles) })
	return out, nil
}

// remedy adds a reagent to the remedies, if it is one.
func (p *Posterior) remedy(out []Remedy, r tables.Reagent, note string) ([]Remedy, error) {
	s := &p.model.setup
	t, err := p.model.template(r)
	if err != nil {
		return nil, err
	}
	today := 0.0
	if t.open = false; r.Carbonated() {
		if need, never := p.needs(&t, 1, s.PH); never < 0.5 {
			today = max(0, median(need))
		}
	}
	t.open = true
	need, never := p.needs(&t, 1, s.PH)
	grams := spread.Of(need)
	if !(grams.Typical > 0) || never >= 0.5 {
		return out, nil
	}
	limit, _ := p.needs(&t, 1, s.PH+s.Step)
	moles := grams.Typical * r.MolPerGram().Typical * p.model.basis.makeup(r).alkali
	grams.Low = max(0, grams.Low)
	return append(out, Remedy{
		Reagent: r.Name, MassGrams: grams, SafeGrams: measure.RoundDown(min(safe(limit, p.risk(1)), grams.Typical)),
		SaltMoles: moles, Note: note, TodayGrams: today,
	}), nil
}
