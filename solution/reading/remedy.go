package reading

import (
	"cmp"
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
	// potassium. Tetrasodium EDTA leaves the same but brings EDTA with it, which
	// is EDTA in mol.
	SaltMoles float64 `json:"salt_mol"`
	EDTAMoles float64 `json:"edta_mol"`
	Note      string  `json:"note"`
}

// remedies are what raises the pH, and what to mind: common practice, no source.
var remedies = []struct{ id, note string }{
	{"sodium-carbonate-monohydrate", "washing soda: in small portions, it fizzes while the bath is sour; the pH still rises a little as the gas leaves"},
	{"sodium-bicarbonate", "baking soda: gentle, hardly goes past pH 8; fizzes, and the pH rises as the gas leaves"},
	{"sodium-hydroxide", "lye: little is needed and nothing is wasted, but it burns eyes and skin and easily overshoots"},
	{"edta-tetrasodium-tetrahydrate", "tetrasodium EDTA: the dearest, and the one that makes the bath stronger instead of saltier"},
}

// Remedies returns how to raise the pH to the target with the usual bases, by
// the salt they leave behind. Bases of which no amount reaches the target are
// left out, and all are when the middle of the cloud is not below it.
func (p *Posterior) Remedies() ([]Remedy, error) {
	s := &p.model.setup
	var out []Remedy
	for _, x := range remedies {
		r, err := p.model.tables.Reagent(x.id)
		if err != nil {
			return nil, err
		}
		t, err := p.model.template(r)
		if err != nil {
			return nil, err
		}
		n := p.cloud.n
		need, limit := make([]float64, n), make([]float64, n)
		p.shares(n, func(i int) {
			shift := constants * p.cloud.row(i)[ofModel]
			need[i] = p.model.surface.need(&p.now[i], &t, 1, s.Target-shift)
			limit[i] = p.model.surface.need(&p.now[i], &t, 1, s.Target+s.Step-shift)
		})
		grams := spread.Of(need)
		if !(grams.Typical > 0) || math.IsInf(grams.Typical, 0) {
			continue
		}
		grams.Low = max(0, grams.Low)
		_, base := p.additions()
		y := Remedy{
			Reagent: r.Name, MassGrams: grams, Note: x.note,
			SafeGrams: roundDown(math.Min(safe(limit, s.Risk/math.Pow(2, float64(base+1))), grams.Typical)),
			SaltMoles: grams.Typical * strongBasePerGram(r),
		}
		if t.of == fromEDTA {
			y.EDTAMoles = grams.Typical * r.MolPerGram().Typical
		}
		out = append(out, y)
	}
	slices.SortStableFunc(out, func(a, b Remedy) int { return cmp.Compare(a.SaltMoles, b.SaltMoles) })
	return out, nil
}
