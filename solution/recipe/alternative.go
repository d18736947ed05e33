package recipe

import (
	"cmp"
	"fmt"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

// Extra is a reagent that goes in with the chelant: trisodium citrate as a
// buffer that holds iron as well, say.
type Extra struct {
	Reagent tables.Reagent
	Mass    unit.Mass // as sold
}

// Alternative is the recipe made another way, to the same pH and the same moles
// of chelant.
type Alternative struct {
	Chelant string  `json:"chelant"`
	Mass    float64 `json:"chelant_g"`
	Acid    string  `json:"acid"`
	Dose    float64 `json:"acid_g"`
	Extra   string  `json:"extra,omitempty"`
	ExtraG  float64 `json:"extra_g,omitempty"`

	PHBefore float64 `json:"ph_before"`
	// Buffer is the strong base in mol per litre that raises the pH by one.
	Buffer float64 `json:"buffer_capacity_mol_per_l"`
	Ionic  float64 `json:"ionic_strength_mol_per_l"`

	Alone bath.Capacity `json:"takes_unattended"`
	EndPH float64       `json:"unattended_end_ph"`
	// Kept is the rust that is taken up while Keeper holds the pH within one
	// unit, and KeptAcid how much of Keeper that takes beyond the first dose.
	// Keeper is the acid itself, or that of the recipe where the first dose was
	// a base.
	Kept     float64 `json:"takes_kept_rust_g"`
	Keeper   string  `json:"keeper"`
	KeptAcid float64 `json:"keeper_g"`
	// KeeperCost is the part of Cost that goes for KeptAcid.
	KeeperCost float64 `json:"keeper_cost"`

	Cost        float64 `json:"cost"` // of what has a price, the keeper included
	PerKilogram float64 `json:"cost_per_kg_rust"`
	Priced      bool    `json:"all_priced"`

	Signal  tables.Signal `json:"signal,omitempty"` // the strongest on the labels
	Hazards []string      `json:"hazards,omitempty"`
}

// Choice is one way to make a bath: what to change in a recipe. Fields left
// empty keep what the recipe has.
type Choice struct {
	Chelant tables.Reagent // as many moles of chelant as the recipe has
	Acid    tables.Reagent // sets the pH
	Base    tables.Reagent // sets the pH in the place of Acid where the bath starts below it
	Extra   Extra          // goes in besides; zero for none
}

// Compare works the recipe out with each choice. A choice whose acid cannot
// reach the pH is an error that wraps [solution.ErrUnreachable].
func (r Recipe) Compare(t *tables.Tables, o bath.Oxide, choices ...Choice) ([]Alternative, error) {
	if err := r.check(); err != nil {
		return nil, err
	}
	var out []Alternative
	for _, c := range choices {
		other, err := r.with(c)
		if err != nil {
			return nil, err
		}
		a, err := other.alternative(t, o, r.Acid, c.Base)
		if err != nil {
			return nil, err
		}
		out = append(out, a)
	}
	return out, nil
}

func (r Recipe) with(c Choice) (Recipe, error) {
	if c.Chelant.ID != "" && c.Chelant.ID != r.Chelant.ID {
		if !c.Chelant.Chelant.Equal(r.Chelant.Chelant) && c.Chelant.Chelant.Hill() == "" {
			return Recipe{}, &chem.InputError{Field: "chelant", Value: c.Chelant.String(), Want: "a reagent with a chelating anion"}
		}
		m, err := r.chelantMass()
		if err != nil {
			return Recipe{}, err
		}
		f := r.Chelant.MolPerGram().Typical / c.Chelant.MolPerGram().Typical
		r.Chelant, r.Amount = c.Chelant, measure.AmountOfMass(unit.Mass(f*float64(m.Typical)))
	}
	if c.Acid.ID != "" {
		r.Acid = c.Acid
	}
	if c.Extra.Mass != 0 {
		r.Extras = append(slices.Clone(r.Extras), c.Extra)
	}
	return r, r.check()
}

func (r Recipe) alternative(t *tables.Tables, o bath.Oxide, keeper, base tables.Reagent) (Alternative, error) {
	v, err := r.vessel(t)
	if err != nil {
		return Alternative{}, err
	}
	start, err := v.Equilibrate()
	if err != nil {
		return Alternative{}, err
	}
	if start.PH < r.PH && base.ID != "" {
		r.Acid = base
	}
	dose, err := v.Dose(r.Acid, solution.PH(r.PH))
	if err != nil {
		return Alternative{}, r.reword(err)
	}
	if err := v.Add(r.Acid, dose.Mass()); err != nil {
		return Alternative{}, err
	}
	b, err := bath.New(t, v)
	if err != nil {
		return Alternative{}, err
	}
	m, err := r.chelantMass()
	if err != nil {
		return Alternative{}, err
	}
	a := Alternative{
		Chelant: r.Chelant.Name, Mass: 1000 * float64(m.Typical), Acid: r.Acid.Name, Dose: dose.MassGrams,
		PHBefore: dose.Before.PH, Buffer: dose.After.BufferCapacityMolPerLitre, Ionic: dose.After.IonicStrengthMolPerLitre,
	}
	for _, e := range r.Extras {
		a.Extra, a.ExtraG = e.Reagent.Name, a.ExtraG+1000*float64(e.Mass)
	}
	if a.Alone, a.EndPH, err = b.LeftAlone(o); err != nil {
		return Alternative{}, err
	}
	const rise = 1
	if dose.Before.PH > r.PH {
		keeper = r.Acid
	}
	kept, err := b.Upkeep(keeper, o, r.PH, rise)
	if err != nil {
		return Alternative{}, err
	}
	a.Kept, a.Keeper, a.KeptAcid = kept.RustGrams, keeper.Name, kept.AcidGrams
	if err := a.price(r, m.Typical, dose.Mass(), Extra{keeper, unit.Mass(kept.AcidGrams / 1000)}); err != nil {
		return Alternative{}, err
	}
	return a, a.label(t, r)
}

// price adds up the chelant, the first dose, the keeper and the extras.
func (a *Alternative) price(r Recipe, chelant, first unit.Mass, keeper Extra) error {
	a.Priced = true
	parts := append([]Extra{keeper, {r.Chelant, chelant}, {r.Acid, first}}, r.Extras...)
	for i, p := range parts {
		price, ok := r.Prices[p.Reagent.ID]
		if !ok {
			a.Priced = false
			continue
		}
		cost, err := price.of(p.Reagent, p.Mass)
		if err != nil {
			return err
		}
		a.Cost += cost
		if i == 0 {
			a.KeeperCost = cost
		}
	}
	if a.Kept > 0 {
		a.PerKilogram = 1000 * a.Cost / a.Kept
	}
	return nil
}

// label gathers what the labels of acid and extras warn of.
func (a *Alternative) label(t *tables.Tables, r Recipe) error {
	reagents := []tables.Reagent{r.Acid}
	for _, e := range r.Extras {
		reagents = append(reagents, e.Reagent)
	}
	for _, x := range reagents {
		for _, key := range x.Hazards {
			h, err := t.Hazard(key)
			if err != nil {
				return err
			}
			if a.Signal != tables.Danger {
				a.Signal = h.Signal
			}
			a.Hazards = append(a.Hazards, h.ID)
		}
	}
	return nil
}

// BagPrice is a bag compared by what it holds.
type BagPrice struct {
	Price       Price   `json:"price"`
	PerKilogram float64 `json:"per_kg"`
	PerMole     float64 `json:"per_mol_chelant"` // 0 for a reagent without one
	PerKgRust   float64 `json:"per_kg_rust"`     // FeOOH, at [PracticalShare] of the chelant; 0 without one
}

// CompareBags sorts prices of a reagent by what a kilogram costs.
func CompareBags(r tables.Reagent, prices ...Price) ([]BagPrice, error) {
	var out []BagPrice
	for _, p := range prices {
		kilogram, err := p.of(r, 1)
		if err != nil {
			return nil, err
		}
		b := BagPrice{Price: p, PerKilogram: kilogram}
		if r.Chelant.Hill() != "" {
			b.PerMole = kilogram / (1000 * r.MolPerGram().Typical)
			b.PerKgRust = 1000 * b.PerMole / (bath.PracticalShare * bath.RustMolarMass)
		}
		out = append(out, b)
	}
	slices.SortStableFunc(out, func(a, b BagPrice) int { return cmp.Compare(a.PerKilogram, b.PerKilogram) })
	return out, nil
}

// Bought is a ready-made bath as its label puts it.
type Bought struct {
	Price  float64     // for Volume
	Volume unit.Volume // in the jug
	Rust   unit.Mass   // that Volume is claimed to take
}

// Terms are figures on which any two baths can be compared.
type Terms struct {
	PerLitre    float64 `json:"per_l"`
	PerGallon   float64 `json:"per_us_gal"`
	RustPerL    float64 `json:"rust_g_per_l"`
	PerKilogram float64 `json:"per_kg_rust"`
	// PerArea is the cost of clearing a square metre of a layer.
	PerArea float64 `json:"per_m2"`
}

// Terms returns the bought bath on the terms of one that is mixed, the claim
// taken at its word.
func (x Bought) Terms(l rust.Layer) (Terms, error) {
	litres := 1000 * float64(x.Volume)
	if err := chem.Within("price", x.Price, 0, 1e9, ""); err != nil {
		return Terms{}, err
	}
	if err := chem.Within("volume bought", litres, 0.01, 1e6, "L"); err != nil {
		return Terms{}, err
	}
	if err := chem.Within("rust claimed", 1000*float64(x.Rust), 0.001, 1e9, "g"); err != nil {
		return Terms{}, err
	}
	return terms(x.Price, litres, 1000*float64(x.Rust), l), nil
}

// Terms returns the bath of an alternative on those terms, its pH kept up.
func (a Alternative) Terms(litres float64, l rust.Layer) (Terms, error) {
	if err := chem.Within("volume of the bath", litres, 0.01, 1e6, "L"); err != nil {
		return Terms{}, err
	}
	return terms(a.Cost, litres, a.Kept, l), nil
}

func terms(cost, litres, rustGrams float64, l rust.Layer) Terms {
	t := Terms{PerLitre: cost / litres, PerGallon: cost / litres * litresPerGallon, RustPerL: rustGrams / litres}
	if rustGrams > 0 {
		t.PerKilogram = 1000 * cost / rustGrams
		t.PerArea = cost / rustGrams * l.RustGramsPerM2.Typical
	}
	return t
}

// BetterBuy says in a sentence or two which of several ways costs least for the
// rust it takes, which costs least without the word danger on a label, and what
// an extra brings. Ways without all prices are passed over.
func BetterBuy(ways []Alternative) string {
	cheapest := func(fits func(Alternative) bool) *Alternative {
		var best *Alternative
		for i := range ways {
			w := &ways[i]
			if w.Priced && w.Kept > 0 && fits(*w) && (best == nil || w.PerKilogram < best.PerKilogram) {
				best = w
			}
		}
		return best
	}
	best := cheapest(func(Alternative) bool { return true })
	if best == nil {
		return "Nothing to compare: no way has all its prices."
	}
	text := fmt.Sprintf("%s costs least, %.0f per kg of rust", best.Acid, best.PerKilogram)
	if mild := cheapest(func(w Alternative) bool { return w.Signal != tables.Danger }); mild != nil && mild != best {
		text += fmt.Sprintf("; without the word danger on its label %s, %.0f", mild.Acid, mild.PerKilogram)
	}
	text += "."
	for _, w := range ways {
		if w.Extra == "" {
			continue
		}
		for _, plain := range ways {
			if plain.Extra == "" && plain.Acid == w.Acid && plain.Chelant == w.Chelant && plain.Alone.RustGrams > 0 {
				more := w.Alone.RustGrams - plain.Alone.RustGrams
				text += fmt.Sprintf(" %s of %s lets the bath take %s more rust unattended",
					measure.FormatMass(unit.Mass(w.ExtraG/1000)), w.Extra, measure.FormatMass(unit.Mass(more/1000)))
				if w.Priced && plain.Priced {
					text += fmt.Sprintf(" for %.2f; %s added as the pH climbs does that for %.2f", w.Cost-plain.Cost, plain.Keeper, plain.KeeperCost*more/plain.Kept)
				}
				text += "."
			}
		}
	}
	return text
}
