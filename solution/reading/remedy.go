package reading

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// Remedy is a way to raise the pH after an overshoot.
type Remedy struct {
	Reagent   string       `json:"reagent"`
	MassGrams tables.Range `json:"mass_g"` // to the target
	SafeGrams float64      `json:"safe_g"` // the largest addition now
	// Salt is what it leaves in the bath without any use, in mol of sodium or
	// potassium. A salt of the chelant leaves the same but brings chelant with it.
	SaltMoles    float64 `json:"salt_mol"`
	ChelantMoles float64 `json:"chelant_mol"`
	Note         string  `json:"note"`
}

// remedies are what raises the pH, and what to mind: common practice, no source.
var remedies = []struct{ id, note string }{
	{"sodium-carbonate-monohydrate", "washing soda: in small portions, it fizzes while the bath is sour; the pH still rises a little as the gas leaves"},
	{"sodium-bicarbonate", "baking soda: gentle, hardly goes past pH 8; fizzes, and the pH rises as the gas leaves"},
	{"sodium-hydroxide", "lye: little is needed and nothing is wasted, but it burns eyes and skin and easily overshoots"},
}

// dearest is the note on the salt of the chelant that brings the most base.
const dearest = "%s: the dearest, and the one that makes the bath stronger instead of saltier"

// alkaline returns the powder that brings the most base with the chelant; of
// several, the one with the most water, which is the cheapest.
func (b *basis) alkaline() (best tables.Reagent, found bool) {
	most := 0.0
	for r := range b.tables.Reagents() {
		m := b.makeup(r)
		if r.Form != tables.Powder || !b.shares(m) || m.alkali/m.chelant < most || m.alkali == 0 {
			continue
		}
		if m.alkali/m.chelant > most || r.Formula.MolarMass()/m.chelant > best.Formula.MolarMass() {
			best, most, found = r, m.alkali/m.chelant, true
		}
	}
	return best, found
}

// Remedies returns how to raise the pH to the target with the usual bases, by
// the salt they leave behind. Bases of which no amount reaches the target are
// left out, and all are when the middle of the cloud is not below it.
func (p *Posterior) Remedies() ([]Remedy, error) {
	if err := p.ready(); err != nil {
		return nil, err
	}
	s, b := &p.model.setup, p.model.basis
	var out []Remedy
	try := func(r tables.Reagent, note string) error {
		t, err := p.model.template(r)
		if err != nil {
			return err
		}
		need, never := p.needs(&t, 1, s.Target)
		limit, _ := p.needs(&t, 1, s.Target+s.Step)
		grams := spread.Of(need)
		if !(grams.Typical > 0) || never >= 0.5 {
			return nil
		}
		grams.Low = max(0, grams.Low)
		_, base := p.additions()
		made := b.makeup(r)
		moles := grams.Typical * r.MolPerGram().Typical
		y := Remedy{
			Reagent: r.Name, MassGrams: grams, Note: note, SaltMoles: moles * made.alkali,
			SafeGrams: roundDown(math.Min(safe(limit, s.Risk/math.Pow(2, float64(base+1))), grams.Typical)),
		}
		if b.shares(made) {
			y.ChelantMoles = moles * made.chelant
		}
		out = append(out, y)
		return nil
	}
	for _, x := range remedies {
		r, err := b.tables.Reagent(x.id)
		if err != nil {
			return nil, err
		}
		if err := try(r, x.note); err != nil {
			return nil, err
		}
	}
	if r, found := b.alkaline(); found {
		name := r.Name
		if len(r.Synonyms) > 0 {
			name = r.Synonyms[0]
		}
		if err := try(r, fmt.Sprintf(dearest, name)); err != nil {
			return nil, err
		}
	}
	slices.SortStableFunc(out, func(a, b Remedy) int { return cmp.Compare(a.SaltMoles, b.SaltMoles) })
	return out, nil
}
