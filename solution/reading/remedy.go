package reading

import (
	"cmp"
	"fmt"
	"slices"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// Remedy is a way to raise the pH after an overshoot.
type Remedy struct {
	ReagentID      string       `json:"reagent"`
	Reagent        string       `json:"name"`
	MassGrams      tables.Range `json:"mass_g"` // advised: to the target for good, under a lid to the target now
	solution.Doses              // typical ones
	SafeGrams      float64      `json:"safe_g"` // the largest addition now
	// SaltMoles is what it leaves in the bath without any use, in mol of sodium or
	// potassium. A salt of the chelant leaves the same but brings chelant with it.
	SaltMoles float64 `json:"salt_mol"`
	// GasLitres is the carbon dioxide under 1 atm that leaves an open tub in the end, of what is
	// advised and of the water; 0 under a lid and of what is no carbonate.
	GasLitres float64 `json:"gas_l,omitempty"`
	Note      string  `json:"note"`
}

// notes tell what to mind of soda, bicarbonate, lye, and the salt of the chelant that
// brings the most base: common practice, no source.
var notes = [...]string{
	"in small portions in an open tub, it fizzes while the bath is sour. Do not add until the pH shows today: it starts low and arrives within days, as gas leaves",
	"gentle; it fizzes most, in an open tub only. Do not add until the pH shows today: it starts low and arrives within days, as gas leaves",
	"little is needed and nothing is wasted, but it burns eyes and skin and easily overshoots",
	"the dearest, and the one that makes the bath stronger instead of saltier",
}

// kinds returns a powder of each, no reagent where there is none: the base of the setup if it is
// one, or the first of the tables; of the salts the one with the most water, which is the cheapest.
func (m *Model) kinds() (out [len(notes)]tables.Reagent) {
	var best salt
	for _, r := range m.basis.shelf {
		made, kind, better := m.basis.makeup(r), 0, r.ID == m.setup.Base.ID
		k, same := m.basis.salt(r)
		switch {
		case r.Form != tables.Powder:
			continue
		case same:
			if kind, better = 3, cmp.Or(cmp.Compare(k.base, best.base), cmp.Compare(best.perGram, k.perGram)) > 0; better {
				best = k
			}
		case made.lye():
			kind = 2
		case made.aired() == 0:
			continue
		case made.protons > 0:
			kind = 1
		}
		if better || !same && out[kind].ID == "" {
			out[kind] = r
		}
	}
	return out
}

// Remedies returns how to raise the pH to the target with the usual bases, by
// the salt they leave behind. Bases of which no amount reaches the target are
// left out, and all are when the middle of the cloud is not below it.
func (p *Posterior) Remedies() (out []Remedy, err error) {
	if err := p.ready(); err != nil {
		return nil, err
	}
	s := &p.model.setup
	for kind, r := range p.model.kinds() {
		if r.ID == "" {
			continue
		}
		x, err := p.model.template(r)
		if err != nil {
			return nil, err
		}
		var grams [2]tables.Range // now and for good
		for i := range grams {
			x.open = i == 1
			if need, never := p.needs(&x, 1, s.PH); never < helpless {
				grams[i] = p.span(need)
			}
		}
		y := Remedy{ReagentID: r.ID, Reagent: r.Name, MassGrams: grams[0], Note: append(r.Synonyms, r.Name)[0] + ": " + notes[kind],
			Doses: solution.Doses{NowGrams: max(0, grams[0].Typical), ForGoodGrams: max(0, grams[1].Typical)}}
		if x.open = s.Open; x.open {
			y.MassGrams = grams[1]
		}
		if !(y.MassGrams.Typical > 0) {
			continue
		}
		limit, _ := p.needs(&x, 1, s.PH+Step)
		made := p.model.basis.makeup(r)
		y.MassGrams.Low = max(0, y.MassGrams.Low)
		if s.Open && made.aired() > 0 {
			inWater := (p.model.surface.water - p.model.surface.inRoom.all) * float64(s.Volume) // mol: mmol/L are mol/m³
			y.GasLitres = chem.MolarVolume(s.Temperature) * max(0, inWater+y.MassGrams.Typical*made.rest[carbonate]*made.perGram)
			y.Note += fmt.Sprintf(": %s of it in all", measure.FormatLitres(y.GasLitres))
		}
		y.SafeGrams, y.SaltMoles = measure.RoundDown(min(p.safe(limit, p.risk()), y.MassGrams.Typical)), y.MassGrams.Typical*made.alkali*made.perGram
		out = append(out, y)
	}
	slices.SortStableFunc(out, func(a, b Remedy) int { return cmp.Compare(a.SaltMoles, b.SaltMoles) })
	return out, nil
}
