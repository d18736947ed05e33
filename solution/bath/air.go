package bath

import (
	"cmp"
	"errors"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// Redox is the bookkeeping of iron in its two states, and what bare steel can
// cost a bath.
//
//	2 Fe(III) + Fe = 3 Fe(II)                     on bare steel
//	4 Fe(II) + O2 + 4 H⁺ = 4 Fe(III) + 2 H2O      from the air
//
// The first is unavoidable in any chemical derusting (named so at NACE
// Corrosion/79); the second takes seconds to minutes for the EDTA complex near
// pH 7 (from memory).
type Redox struct {
	FerricMoles  float64 `json:"iron_iii_mol"`
	FerrousMoles float64 `json:"iron_ii_mol"`

	// Covered is a bath kept from the air: each ferric ion goes once to the
	// steel. Aired is one that air turns back for ever: steel goes until the
	// chelant is full.
	Covered Toll `json:"covered"`
	Aired   Toll `json:"open_to_air"`
}

// Toll is what bare steel costs at most.
type Toll struct {
	SteelGrams      float64 `json:"steel_g"`
	ChelantMoles    float64 `json:"chelant_mol"`
	ChelantFraction float64 `json:"chelant_fraction"` // of the main chelants in the bath
}

// Redox returns how the iron of the bath stands and what bare steel can cost it
// at most, however long it lies there.
func (b *Bath) Redox() (Redox, error) {
	st, err := b.State()
	if err != nil {
		return Redox{}, err
	}
	counted := HoldingsOf(st).Counted()
	room, whole := counted.Free(), counted.Total()
	toll := func(moles float64) Toll {
		t := Toll{SteelGrams: moles * IronMolarMass, ChelantMoles: min(moles, room)}
		if whole > 0 {
			t.ChelantFraction = t.ChelantMoles / whole
		}
		return t
	}
	ferric, ferrous, err := b.iron()
	return Redox{FerricMoles: float64(ferric), FerrousMoles: float64(ferrous), Covered: toll(float64(ferric) / 2), Aired: toll(room)}, err
}

// iron returns how much of it there is in either state, settled or not.
func (b *Bath) iron() (ferric, ferrous unit.Mole, err error) {
	if err = b.ready(); err != nil {
		return 0, 0, err
	}
	if ferric, err = b.Amount("Fe3+"); err == nil {
		ferrous, err = b.Amount("Fe2+")
	}
	return ferric, ferrous, err
}

// attack is what bare steel loses in g/(m² h).
var attack = tables.Range{Low: 0.1, Typical: 0.3, High: 1}

// Attack is the steel in g that an area of bare steel loses in some time: 0.1 to
// 1 g/(m² h), 0.3 as a typical figure. That is an assumption, for want of a
// published rate in a neutral chelant bath at room temperature: a weighed
// coupon gives a better one. It cannot exceed what [Redox] allows, Covered or
// Aired. (Industrial cleaning accepts below 8 g/(m² h), HG/T 2387-92.)
func (r Redox) Attack(bare unit.Area, time unit.Time, aired bool) (tables.Range, error) {
	hours := float64(time) / 3600
	if err := cmp.Or(chem.Within("bare steel", float64(bare), 0, 1e4, "m²"), chem.Within("time", hours, 0, 1e5, "h")); err != nil {
		return tables.Range{}, err
	}
	most := r.Covered.SteelGrams
	if aired {
		most = r.Aired.SteelGrams
	}
	loss := attack.Times(float64(bare) * hours)
	return tables.Range{Low: min(loss.Low, most), Typical: min(loss.Typical, most), High: min(loss.High, most)}, nil
}

// SteelAtRisk returns the steel in g that the acid of the bath below pH 7 could
// dissolve: half a mole for each mole of base that would neutralise it.
func (b *Bath) SteelAtRisk() (float64, error) {
	if err := b.ready(); err != nil {
		return 0, err
	}
	d, err := b.Dose(strongBase, solution.PH(7))
	switch {
	case errors.Is(err, solution.ErrUnreachable): // at or above 7 already
		return 0, nil
	case err != nil:
		return 0, err
	}
	return d.MassGrams * strongBase.MolPerGram().Typical / 2 * IronMolarMass, nil
}

// Air lets the oxygen of the air turn all iron(II) of the bath into iron(III),
// which takes up a hydrogen ion for each.
func (b *Bath) Air() error {
	_, ferrous, err := b.iron()
	if err != nil {
		return err
	}
	return b.React(byAir, ferrous/4)
}

// Strip lets the bath take up a mass of a metal of the tables' couples, such as the
// zinc of galvanised parts, giving hydrogen off: n hydrogen ions for each atom that
// turns into an ion of charge n.
func (b *Bath) Strip(metal string, m unit.Mass) error {
	grams, err := b.weigh("mass of metal", m)
	if err != nil {
		return err
	}
	c, err := b.tables.Couple(metal)
	if err != nil {
		return err
	}
	if !c.Metal() {
		return &chem.InputError{Field: "metal", Value: metal, Want: "a metal, not a pair of ions"}
	}
	z := float64(c.Electrons())
	return b.React(chem.Reaction{Terms: []chem.Term{
		{Coefficient: -1, Species: c.Reduced}, {Coefficient: -z, Species: hydrogenIon},
		{Coefficient: 1, Species: c.Oxidised}, {Coefficient: z / 2, Species: hydrogenGas},
	}}, unit.Mole(grams/c.Reduced.Formula.MolarMass()))
}

// Corrode lets the bath take up a mass of bare steel: as far as there is iron(III),
// by reducing it; the rest as acid and water take steel up, giving hydrogen off.
func (b *Bath) Corrode(steel unit.Mass) error {
	grams, err := b.weigh("steel", steel)
	if err != nil {
		return err
	}
	ferric, _, err := b.iron()
	if err != nil {
		return err
	}
	n := unit.Mole(grams / IronMolarMass)
	reduced := min(n, ferric/2)
	next := b.Clone()
	if err := cmp.Or(next.React(byIron, reduced), next.React(byAcid, n-reduced)); err != nil {
		return err
	}
	*b = *next
	return nil
}

// The ways in which iron changes its state.
var (
	byIron = mustReaction("2 Fe3+ + Fe(s) = 3 Fe2+")
	byAcid = mustReaction("Fe(s) + 2 H+ = Fe2+ + H2(g)")
	byAir  = mustReaction("4 Fe2+ + O2(g) + 4 H+ = 4 Fe3+ + 2 H2O")

	hydrogenIon = must(chem.ParseSpecies("H+"))
	hydrogenGas = must(chem.ParseSpecies("H2(g)"))
)
