package recipe

import (
	"cmp"

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
	Reagent tables.Reagent `json:"reagent_row"`
	Mass    unit.Mass      `json:"mass_kg"` // as sold
}

// Taken is what a bath takes of an oxide.
type Taken struct {
	Oxide     string        `json:"oxide"`
	LeftAlone bath.Capacity `json:"takes_left_alone"` // when nobody holds its pH
	EndPH     float64       `json:"end_ph"`           // to which that then climbs
	Held      bath.Capacity `json:"takes_when_held"`  // when acid holds the pH
	Practical bath.Capacity `json:"practical"`        // [bath.PracticalShare] of that, by the main chelants
}

// Outcome is a recipe made and used: what goes in, what it takes, what it costs.
type Outcome struct {
	Chelant solution.Portion `json:"chelant"`
	Acid    solution.Portion `json:"acid"` // or base: advised, one of the Doses
	solution.Doses
	Extras []solution.Portion `json:"extras,omitempty"`

	PH                        float64 `json:"ph"`
	StrengthMolPerLitre       float64 `json:"strength_mol_per_l"`        // of the main chelants
	BufferCapacityMolPerLitre float64 `json:"buffer_capacity_mol_per_l"` // the strong base that raises the pH by one

	Breakdown tables.Breakdown `json:"breakdown,omitempty"` // of the chelant in a drain; empty where nothing is known
	NoIron    string           `json:"no_iron,omitempty"`   // why nothing below but the cost is computed, where that is so

	Taken
	IronPerChelant   float64 `json:"iron_per_chelant"` // of the main chelants, used when left alone
	SteelAtRiskGrams float64 `json:"steel_at_risk_g"`  // most bare steel that the acid below pH 7 could eat

	// KeptRustGrams is the rust that is taken up while Keeper holds the pH within one unit: what
	// set the pH, or the acid of the recipe where that was a base.
	KeptRustGrams float64           `json:"takes_kept_rust_g"`
	Keeper        *solution.Portion `json:"keeper,omitempty"`

	Cost   *Cost         `json:"cost,omitempty"`   // the keeper included; nil without prices
	Signal tables.Signal `json:"signal,omitempty"` // the strongest on the labels of acid and extras
}

// Try makes the recipe in other ways, each a recipe changed from it, or as it is where none is
// given, and tells what each bath takes of an oxide. Errors are those of [Recipe.Plan].
func (r Recipe) Try(t *tables.Tables, o bath.Oxide, ways ...Recipe) ([]Outcome, error) {
	if len(ways) == 0 {
		ways = []Recipe{r}
	}
	var out []Outcome
	for _, w := range ways {
		u, err := w.use(t, o)
		if err == nil {
			err = u.keep(t, o, r.Acid)
		}
		if err != nil {
			return nil, err
		}
		out = append(out, u.Outcome)
	}
	return out, nil
}

// WithChelant returns the recipe with as many moles of another chelant.
func (r Recipe) WithChelant(salt tables.Reagent) (Recipe, error) {
	if r.Chelant.Chelant.Hill() == "" || salt.Chelant.Hill() == "" {
		return Recipe{}, notChelating("Chelant", salt)
	}
	m, err := r.Amount.Weigh(r.Chelant.Packing())
	r.Amount = measure.Amount{MassGrams: m.TypicalGrams * r.Chelant.MolPerGram().Typical / salt.MolPerGram().Typical}
	r.Chelant = salt
	return r, err
}

// use is a recipe in use.
type use struct {
	Outcome
	recipe Recipe
	mixture
	bath *bath.Bath
}

// use mixes the recipe and asks what it takes.
func (r Recipe) use(t *tables.Tables, o bath.Oxide) (u *use, err error) {
	u = &use{recipe: r}
	if u.mixture, err = r.mix(t); err != nil {
		return nil, err
	}
	after := u.dose.After
	counted := bath.HoldingsOf(after).Counted()
	u.Outcome = Outcome{
		Chelant: solution.NewPortion(r.Chelant, u.chelant.Typical()), Acid: solution.NewPortion(u.setter, u.dose.Mass()),
		Doses: u.dosing.Doses, PH: r.PH, StrengthMolPerLitre: counted.Total() / after.VolumeLitres,
		BufferCapacityMolPerLitre: after.BufferCapacityMolPerLitre, Taken: Taken{Oxide: o.Name},
	}
	for _, e := range r.Extras {
		u.Extras = append(u.Extras, solution.NewPortion(e.Reagent, e.Mass))
	}
	if fate, err := tables.Find[tables.Fate](t, chem.Species{Formula: r.Chelant.Chelant}.String()); err == nil {
		u.Breakdown = fate.Breakdown
	}
	if u.NoIron = u.noIron; u.NoIron != "" {
		return u, nil
	}
	if u.bath, err = r.tub(t, u.vessel); err != nil {
		return nil, err
	}
	if u.open && u.dosing.GasLitres > 0 { // what it takes is told of the bath that comes of it
		_, err = u.bath.Degas()
	}
	var err1, err2, err3 error
	u.LeftAlone, u.EndPH, err1 = u.bath.LeftAlone(o)
	u.Held, err2 = u.bath.Held(o, r.PH)
	u.SteelAtRiskGrams, err3 = u.bath.SteelAtRisk()
	u.Practical = o.Capacity(unit.Mole(bath.PracticalShare * min(u.Held.IronMoles, counted.Free())))
	u.IronPerChelant = u.LeftAlone.IronMoles / counted.Total()
	return u, cmp.Or(err, err1, err2, err3)
}

// keep asks what the bath takes while its pH is held, what all of it costs, and what its labels say.
func (u *use) keep(t *tables.Tables, o bath.Oxide, acid tables.Reagent) (err error) {
	keeper := Extra{Reagent: acid}
	if u.dose.Before.PH > u.PH {
		keeper.Reagent = u.setter
	}
	if u.NoIron == "" {
		const keptRise = 1 // of pH before it goes in: one step of the common strip
		kept, err := u.bath.Upkeep(keeper.Reagent, o, u.PH, keptRise)
		if err != nil {
			return err
		}
		keeper.Mass, u.KeptRustGrams, u.Keeper = kept.Acid.Mass(), kept.RustGrams, &kept.Acid
	}
	for _, reagent := range u.recipe.with(u.setter) {
		for _, key := range reagent.Hazards {
			h, err := tables.Find[tables.Hazard](t, key)
			if err != nil {
				return err
			}
			if u.Signal != tables.Danger {
				u.Signal = h.Signal
			}
		}
	}
	u.Cost, err = u.recipe.cost(u.mixture, keeper, u.KeptRustGrams)
	return err
}

// Outlook is what a planned bath will do with fresh rust, taken as lepidocrocite.
type Outlook struct {
	Taken
	// Light is how long light fresh rust takes in the still bath while its pH is held: 30 g of
	// iron per m² (0.03 mm) on 50 cm² for each litre.
	Light rust.DipTime `json:"light_rust"`
}

// Outlook tells what the bath takes and how long. Errors are those of [Recipe.Plan].
func (r Recipe) Outlook(t *tables.Tables) (*Outlook, error) {
	o, err := bath.FindOxide(t, "lepidocrocite")
	if err != nil {
		return nil, err
	}
	u, err := r.use(t, o)
	if err != nil {
		return nil, err
	}
	if u.NoIron != "" {
		return nil, &chem.InputError{Field: "Chelant", Value: r.Chelant.Name, Want: "one with a constant for iron(III)", Kind: bath.ErrNoIron}
	}
	light, layer, err := rust.Light(t)
	pace, err2 := rust.NewPace(t)
	if err := cmp.Or(err, err2); err != nil {
		return nil, err
	}
	const lightAreaPerLitre = 50 * measure.SquareCentimetre
	x := &Outlook{Taken: u.Taken}
	x.Light, err = pace.Time(u.bath, rust.Dip{Rust: light, Layer: layer, Area: lightAreaPerLitre * unit.Area(u.bath.Litres()), Oxide: o, Held: true})
	return x, err
}
