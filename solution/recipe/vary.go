package recipe

import (
	"cmp"
	"errors"
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
	Reagent tables.Reagent `json:"reagent_row"`
	Mass    unit.Mass      `json:"mass_kg"` // as sold
}

// Variation is a way to make a bath: what to change in a recipe. Fields left
// empty keep what the recipe has, so that the zero value is the recipe itself.
type Variation struct {
	Chelant tables.Reagent // as many moles of chelant as the recipe has
	Acid    tables.Reagent // sets the pH
	Base    tables.Reagent // sets the pH in the place of Acid where the bath starts below it
	Extra   Extra          // goes in besides
	PH      float64        // to be reached
	// GramsPerLitre is the chelating salt in the water.
	GramsPerLitre float64
}

// Outcome is a recipe made in some way and used: what goes in, what it takes, what
// it costs.
type Outcome struct {
	Chelant      string  `json:"chelant_name"`
	ChelantID    string  `json:"chelant_id"`
	ChelantGrams float64 `json:"chelant_g"`
	Acid         string  `json:"acid_name"` // or base
	AcidID       string  `json:"acid_id"`
	AcidGrams    float64 `json:"acid_g"`
	Extra        string  `json:"extra_name,omitempty"`
	ExtraID      string  `json:"extra_id,omitempty"`
	ExtraGrams   float64 `json:"extra_g,omitempty"`

	PHBefore            float64 `json:"ph_before"`
	PH                  float64 `json:"ph"`
	StrengthMolPerLitre float64 `json:"strength_mol_per_l"` // of the chelants by which one tells how far a bath is used
	// BufferCapacityMolPerLitre is the strong base that raises the pH by one.
	BufferCapacityMolPerLitre float64 `json:"buffer_capacity_mol_per_l"`
	IonicStrengthMolPerLitre  float64 `json:"ionic_strength_mol_per_l"`

	// Breakdown tells what becomes of the chelant in a drain; empty where nothing is known.
	Breakdown tables.Breakdown `json:"breakdown,omitempty"`
	// NoIron tells why nothing below but the cost is computed, where that is so.
	NoIron string `json:"no_iron,omitempty"`

	Oxide string `json:"oxide"`
	// LeftAlone is what the bath takes when nobody holds its pH, which then climbs to
	// EndPH; Held what it takes when acid holds the pH, and Practical
	// [bath.PracticalShare] of what it so takes by its main chelants.
	LeftAlone bath.Capacity `json:"takes_left_alone"`
	EndPH     float64       `json:"end_ph"`
	Held      bath.Capacity `json:"takes_when_held"`
	Practical bath.Capacity `json:"practical"`
	// IronPerChelant is how much of the main chelants is used that way when left alone.
	IronPerChelant float64 `json:"iron_per_chelant"`
	RustPerAcid    float64 `json:"rust_g_per_acid_g"` // left alone
	// SteelAtRiskGrams is the most that the acid beyond pH 7 could eat of bare steel,
	// Fe + 2 H⁺ = Fe²⁺ + H2: what a low start risks.
	SteelAtRiskGrams float64 `json:"steel_at_risk_g"`

	// KeptRustGrams is the rust that is taken up while Keeper holds the pH within one
	// unit, and KeeperGrams how much of Keeper that takes beyond the first dose.
	// Keeper is what set the pH, or the acid of the recipe where that was a base.
	KeptRustGrams float64 `json:"takes_kept_rust_g"`
	Keeper        string  `json:"keeper_name"`
	KeeperID      string  `json:"keeper_id"`
	KeeperGrams   float64 `json:"keeper_g"`

	Cost   *Cost         `json:"cost,omitempty"`   // the keeper included; nil without prices
	Signal tables.Signal `json:"signal,omitempty"` // the strongest on the labels of acid and extras
}

// keptRise is how far the pH may climb before Keeper goes in: one step of the
// common strip.
const keptRise = 1

// Try works the recipe out with each variation, and tells what each bath takes of
// an oxide. A variation whose acid cannot reach the pH is an error that wraps
// [solution.ErrUnreachable].
func (r Recipe) Try(t *tables.Tables, o bath.Oxide, variations ...Variation) ([]Outcome, error) {
	var out []Outcome
	for _, v := range variations {
		u, err := r.use(t, o, v)
		if err == nil {
			err = cmp.Or(u.keep(o, r.Acid), u.label(t))
		}
		if err != nil {
			return nil, err
		}
		out = append(out, u.Outcome)
	}
	return out, nil
}

// use is a variation in use.
type use struct {
	Outcome
	recipe Recipe // as varied
	mixture
	bath *bath.Bath
}

// NoIron says that a chelant's hold on iron(III) is not known.
func NoIron(chelant tables.Reagent) string {
	return chelant.Name + ": " + bath.ErrNoIron.Error() + " for it, so that what its bath takes is not computed."
}

// use mixes a variation and asks what it takes.
func (r Recipe) use(t *tables.Tables, o bath.Oxide, v Variation) (*use, error) {
	other, err := r.varied(v)
	if err != nil {
		return nil, err
	}
	u := &use{recipe: other}
	if u.mixture, err = other.mix(t, v.Base); err != nil {
		return nil, err
	}
	after := u.dose.After
	counted := bath.HoldingsOf(after).Counted()
	u.Outcome = Outcome{
		Chelant: other.Chelant.Name, ChelantID: other.Chelant.ID, ChelantGrams: u.chelant.TypicalGrams,
		Acid: u.setter.Name, AcidID: u.setter.ID, AcidGrams: u.dose.MassGrams,
		PHBefore: u.dose.Before.PH, PH: other.PH, StrengthMolPerLitre: counted.Total() / after.VolumeLitres,
		BufferCapacityMolPerLitre: after.BufferCapacityMolPerLitre, IonicStrengthMolPerLitre: after.IonicStrengthMolPerLitre,
		Oxide: o.Name,
	}
	for _, e := range other.Extras {
		u.Extra, u.ExtraID, u.ExtraGrams = e.Reagent.Name, e.Reagent.ID, u.ExtraGrams+float64(e.Mass/measure.Gram)
	}
	if fate, err := t.Fate(chem.Species{Formula: other.Chelant.Chelant}.String()); err == nil {
		u.Breakdown = fate.Breakdown
	}
	if u.bath, err = other.tub(t, u.vessel); errors.Is(err, bath.ErrNoIron) {
		u.NoIron = NoIron(other.Chelant)
		return u, nil
	} else if err != nil {
		return nil, err
	}
	if u.open != nil { // what it takes is told of the bath that comes of it
		if _, err := u.bath.Degas(); err != nil {
			return nil, err
		}
	}
	if u.LeftAlone, u.EndPH, err = u.bath.LeftAlone(o); err != nil {
		return nil, err
	}
	if u.Held, err = u.bath.Held(o, other.PH); err != nil {
		return nil, err
	}
	u.Practical = o.Capacity(unit.Mole(bath.PracticalShare * min(u.Held.IronMoles, counted.Free())))
	if u.SteelAtRiskGrams, err = u.bath.SteelAtRisk(); err != nil {
		return nil, err
	}
	u.IronPerChelant = u.LeftAlone.IronMoles / counted.Total()
	if u.AcidGrams > 0 {
		u.RustPerAcid = u.LeftAlone.RustGrams / u.AcidGrams
	}
	return u, nil
}

// keep asks what the bath takes while its pH is held by what set it, or by the acid
// of the recipe where that was a base, and what all of it costs.
func (u *use) keep(o bath.Oxide, acid tables.Reagent) (err error) {
	keeper := acid
	if u.PHBefore > u.PH {
		keeper = u.setter
	}
	if u.NoIron == "" {
		kept, err := u.bath.Upkeep(keeper, o, u.PH, keptRise)
		if err != nil {
			return err
		}
		u.KeptRustGrams, u.Keeper, u.KeeperID, u.KeeperGrams = kept.RustGrams, keeper.Name, keeper.ID, kept.AcidGrams
	}
	u.Cost, err = u.recipe.cost(u.mixture, Extra{keeper, unit.Mass(u.KeeperGrams) * measure.Gram}, u.KeptRustGrams)
	return err
}

// varied returns the recipe changed.
func (r Recipe) varied(v Variation) (Recipe, error) {
	if v.GramsPerLitre != 0 {
		r.Amount = measure.Amount{MassGrams: v.GramsPerLitre * float64(r.Volume/measure.Litre)}
	}
	if v.Chelant.ID != "" && v.Chelant.ID != r.Chelant.ID {
		if v.Chelant.Chelant.Hill() == "" {
			return Recipe{}, notChelating("Chelant", v.Chelant)
		}
		m, err := r.check()
		if err != nil {
			return Recipe{}, err
		}
		f := r.Chelant.MolPerGram().Typical / v.Chelant.MolPerGram().Typical
		r.Chelant, r.Amount = v.Chelant, measure.Amount{MassGrams: f * m.TypicalGrams}
	}
	if v.Acid.ID != "" {
		r.Acid = v.Acid
	}
	if v.PH != 0 {
		r.PH = v.PH
	}
	if v.Extra.Mass != 0 {
		r.Extras = append(slices.Clone(r.Extras), v.Extra)
	}
	_, err := r.check()
	return r, err
}

// label finds the strongest word on the labels of what sets the pH and of extras.
func (u *use) label(t *tables.Tables) error {
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
	return nil
}

// Outlook is what a planned bath will do with fresh rust, taken as lepidocrocite.
type Outlook struct {
	Oxide string `json:"oxide"`
	// LeftAlone, EndPH, Held and Practical are those of [Outcome].
	LeftAlone bath.Capacity `json:"takes_left_alone"`
	EndPH     float64       `json:"end_ph"`
	Held      bath.Capacity `json:"takes_when_held"`
	Practical bath.Capacity `json:"practical"`
	// Light is how long a few parts with light fresh rust take in the bath as it
	// lies still and its pH is held: 30 g of iron per m² (0.03 mm) on 50 cm² for each litre.
	Light rust.DipTime `json:"light_rust"`
}

// lightAreaPerLitre is the rusty steel of [Outlook.Light], a few small parts.
const lightAreaPerLitre = 50 * measure.SquareCentimetre

// Outlook mixes the recipe and tells what it takes and how long. Errors are those
// of [Recipe.Plan].
func (r Recipe) Outlook(t *tables.Tables) (*Outlook, error) {
	o, err := bath.FindOxide(t, "lepidocrocite")
	if err != nil {
		return nil, err
	}
	u, err := r.use(t, o, Variation{})
	if err != nil {
		return nil, err
	}
	if u.NoIron != "" {
		return nil, &chem.InputError{Field: "Chelant", Value: r.Chelant.Name, Want: "one with a constant for iron(III)", Kind: bath.ErrNoIron}
	}
	light, layer, err := rust.Light(t)
	if err != nil {
		return nil, err
	}
	pace, err := rust.NewPace(t)
	if err != nil {
		return nil, err
	}
	x := &Outlook{Oxide: o.Name, LeftAlone: u.LeftAlone, EndPH: u.EndPH, Held: u.Held, Practical: u.Practical}
	x.Light, err = pace.Time(u.bath, rust.Dip{Rust: light, Layer: layer, Area: lightAreaPerLitre * unit.Area(u.bath.Litres()), Oxide: o, Held: true})
	return x, err
}

// mixture is a recipe mixed: the vessel with what sets the pH in it, and the dose
// of that.
type mixture struct {
	chelant measure.MassRange
	fresh   *solution.Solution // before the dose
	vessel  *solution.Solution
	setter  tables.Reagent // the acid of the recipe, or a base in its place
	dose    solution.Dose
	open    *bath.Dosing // where the dose is the one for good in an open tub
}

// mix mixes water, chelant and extras and brings them to the pH, with a base in the
// place of the acid where there is one and the vessel starts below.
func (r Recipe) mix(t *tables.Tables, base tables.Reagent) (m mixture, err error) {
	if m.chelant, err = r.check(); err != nil {
		return m, err
	}
	if m.fresh, err = r.undosed(t, m.chelant.Typical()); err != nil {
		return m, err
	}
	m.setter = r.Acid
	if base.ID != "" {
		st, err := m.fresh.Equilibrate()
		if err != nil {
			return m, err
		}
		if st.PH < r.PH {
			m.setter = base
		}
	}
	target := r.PH
	if r.Place.Open() {
		if target, err = r.forGood(t, &m); err != nil {
			return m, err
		}
	}
	if m.dose, err = m.fresh.Dose(m.setter, solution.PH(target)); err != nil {
		return m, r.reword(err)
	}
	m.vessel = m.fresh.Clone()
	return m, m.vessel.Add(m.setter, m.dose.Mass())
}

// forGood returns the pH of a closed vessel with the dose in that is right for good in an
// open one, and tells of it where that is another.
func (r Recipe) forGood(t *tables.Tables, m *mixture) (float64, error) {
	b, err := r.tub(t, m.fresh)
	if err != nil {
		return 0, err
	}
	d, err := b.OpenDose(m.setter, r.PH)
	if errors.Is(err, solution.ErrUnreachable) {
		return r.PH, nil // as it is closed, or an error that tells why not
	}
	if err != nil || !d.Waits() {
		return r.PH, err
	}
	if err := b.Add(m.setter, unit.Mass(d.ForGoodGrams/1000)); err != nil {
		return 0, err
	}
	st, err := b.State()
	if err != nil {
		return 0, err
	}
	m.open = &d
	return st.PH, nil
}

// reword puts the recipe's words on a target out of reach.
func (r Recipe) reword(err error) error {
	var u *solution.UnreachableError
	if !errors.As(err, &u) {
		return err
	}
	want := "a reagent that reaches the pH wanted"
	if u.Start < r.PH && u.Limit < u.Start {
		want = "a base, because the bath starts below the pH wanted"
	}
	return &chem.InputError{Field: "Acid", Value: r.Acid.Name, Want: want, Err: err}
}
