package recipe

import (
	"cmp"
	"fmt"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

// Cost is what a bath costs, in the currency of the prices.
type Cost struct {
	Currency  string   `json:"currency,omitempty"` // where the prices tell one
	Chelant   float64  `json:"chelant_cost"`
	Acid      float64  `json:"acid_cost"` // the first dose
	Extras    float64  `json:"extras_cost,omitempty"`
	Keeper    float64  `json:"keeper_cost,omitempty"` // the acid that holds the pH while the bath works
	Total     float64  `json:"total_cost"`
	PerLitre  float64  `json:"cost_per_l"`
	PerKgRust float64  `json:"cost_per_kg_rust,omitzero"` // of what the bath takes: see where the cost stands
	Missing   []string `json:"without_price,omitempty"`   // reagents that have no price
}

// cost adds up what has a price, against rust in g; nil if nothing has one.
func (r Recipe) cost(m mixture, keeper Extra, rustGrams float64) (*Cost, error) {
	if len(r.Prices) == 0 {
		return nil, nil
	}
	c := &Cost{}
	sums := []*float64{&c.Chelant, &c.Acid, &c.Keeper, &c.Extras}
	for i, e := range append([]Extra{{r.Chelant, m.chelant.Typical()}, {m.setter, m.dose.Mass()}, keeper}, r.Extras...) {
		price, ok := r.Prices[e.Reagent.ID]
		switch {
		case c.Currency != "" && price.Currency != "" && price.Currency != c.Currency:
			return nil, &chem.InputError{Field: "price of " + e.Reagent.Name, Value: price.Text, Want: "a price in " + c.Currency + " like the others"}
		case ok:
			c.Currency = cmp.Or(c.Currency, price.Currency)
			cost, err := price.of(e.Reagent, e.Mass)
			if err != nil {
				return nil, err
			}
			*sums[min(i, 3)] += cost
			c.Total += cost
		case e.Mass > 0 && !slices.Contains(c.Missing, e.Reagent.Name):
			c.Missing = append(c.Missing, e.Reagent.Name)
		}
	}
	c.PerLitre = c.Total / m.dose.After.VolumeLitres
	if rustGrams > 0 {
		c.PerKgRust = 1000 * c.Total / rustGrams
	}
	return c, nil
}

// BagPrice is a bag compared by what it holds.
type BagPrice struct {
	Price     string  `json:"price"` // as it was written
	PerKg     float64 `json:"cost_per_kg"`
	PerMole   float64 `json:"cost_per_mol_chelant"`      // 0 for a reagent without one
	PerKgRust float64 `json:"cost_per_kg_rust,omitzero"` // FeOOH, at [bath.PracticalShare] of the chelant; 0 without one
}

// CompareBags sorts prices of a reagent by what a kilogram costs.
func CompareBags(r tables.Reagent, prices ...Price) ([]BagPrice, error) {
	var out []BagPrice
	for _, p := range prices {
		kilogram, err := p.of(r, measure.Kilogram)
		if err != nil {
			return nil, err
		}
		b := BagPrice{Price: p.Text, PerKg: kilogram}
		if r.Chelant.Hill() != "" {
			b.PerMole = kilogram / (1000 * r.MolPerGram().Typical)
			b.PerKgRust = 1000 * b.PerMole / (bath.PracticalShare * bath.RustMolarMass)
		}
		out = append(out, b)
	}
	slices.SortStableFunc(out, func(a, b BagPrice) int { return cmp.Compare(a.PerKg, b.PerKg) })
	return out, nil
}

// Terms are figures on which any two baths can be compared, mixed or bought.
type Terms struct {
	PerLitre          float64 `json:"cost_per_l"`
	RustGramsPerLitre float64 `json:"rust_g_per_l"`
	PerKgRust         float64 `json:"cost_per_kg_rust"`
	PerM2             float64 `json:"cost_per_m2"` // of steel cleared of a layer
}

// TermsOf returns the terms of a volume of bath at a cost that takes a mass of rust, for a layer
// of it. Of a bath that is bought, its maker's claim is taken at its word.
func TermsOf(cost float64, volume unit.Volume, taken unit.Mass, l rust.Layer) (Terms, error) {
	litres, grams := float64(volume/measure.Litre), float64(taken/measure.Gram)
	if err := cmp.Or(chem.Within("cost", cost, 0, 1e9, ""), chem.Within("volume of the bath", litres, 0.01, 1e6, "L"),
		chem.Within("rust taken", grams, 0.001, 1e9, "g"), chem.Within("rust of the layer", l.RustGramsPerM2.Typical, 0, 1e6, "g/m²")); err != nil {
		return Terms{}, err
	}
	return Terms{PerLitre: cost / litres, RustGramsPerLitre: grams / litres, PerKgRust: 1000 * cost / grams, PerM2: cost / grams * l.RustGramsPerM2.Typical}, nil
}

// BetterBuy says in a sentence or two which of several ways costs least for the rust it takes,
// which costs least without the word danger on a label, which takes most of those that break
// down in a drain, and what an extra brings. Ways without all prices are passed over.
func BetterBuy(ways []Outcome) string {
	priced := func(w *Outcome) bool { return w.Cost != nil && len(w.Cost.Missing) == 0 && w.KeptRustGrams > 0 }
	perKg := func(w *Outcome) float64 { return w.Cost.PerKgRust }
	best := least(ways, priced, perKg)
	if best == nil {
		return "Nothing to compare: no way has all its prices and takes rust while its pH is held."
	}
	named := func(w *Outcome) string {
		if w.Chelant.Reagent != ways[0].Chelant.Reagent {
			return w.Chelant.Name + " with " + w.Acid.Name
		}
		return w.Acid.Name
	}
	text := fmt.Sprintf("%s costs least, %s per kg of rust", named(best), Money(perKg(best), 0, best.Cost.Currency))
	if mild := least(ways, func(w *Outcome) bool { return priced(w) && w.Signal != tables.Danger }, perKg); mild != nil && mild != best {
		text += fmt.Sprintf("; without the word danger on its label %s, %s per kg", named(mild), Money(perKg(mild), 0, best.Cost.Currency))
	}
	text += "."
	green := least(ways, func(w *Outcome) bool { return w.Breakdown == tables.BreaksDown && w.Practical.RustGrams > 0 }, func(w *Outcome) float64 { return -w.Practical.RustGrams })
	if green != nil && ways[0].Breakdown == tables.Stays {
		text += fmt.Sprintf(" Of the chelants that break down in a drain %s takes most, a practical %s of rust at that pH, against %s.", green.Chelant.Name,
			measure.FormatGrams(green.Practical.RustGrams), measure.FormatGrams(ways[0].Practical.RustGrams))
	}
	plain := &ways[0]
	for _, w := range ways[1:] {
		if w.Extras == nil || named(&w) != named(plain) || plain.LeftAlone.RustGrams == 0 {
			continue
		}
		more := w.LeftAlone.RustGrams - plain.LeftAlone.RustGrams
		text += fmt.Sprintf(" %s of %s lets the bath take %s more rust unattended", measure.FormatMass(w.Extras[0].Mass()), w.Extras[0].Name, measure.FormatGrams(more))
		if priced(&w) && priced(plain) {
			text += fmt.Sprintf(" for %s; %s added as the pH climbs does that for %s", Money(w.Cost.Total-plain.Cost.Total, 2, w.Cost.Currency), plain.Keeper.Name, Money(plain.Cost.Keeper*more/plain.KeptRustGrams, 2, w.Cost.Currency))
		}
		text += "."
	}
	return text
}

// least returns the way with the least of a figure among those that are fit, nil if none is.
func least(ways []Outcome, fit func(*Outcome) bool, figure func(*Outcome) float64) (best *Outcome) {
	for i := range ways {
		if w := &ways[i]; fit(w) && (best == nil || figure(w) < figure(best)) {
			best = w
		}
	}
	return best
}
