package bath

import (
	"cmp"
	"errors"
	"math"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/spread"
	"example.com/chelation/tables"
)

// Redox is the bookkeeping of iron in its two states, and what bare steel can cost a bath.
//
//	2 Fe(III) + Fe = 3 Fe(II)                     on bare steel
//	4 Fe(II) + O2 + 4 H⁺ = 4 Fe(III) + 2 H2O      from the air
//
// The first is unavoidable in any chemical derusting (named so at NACE Corrosion/79). The
// second takes seconds where oxygen meets the EDTA complex near pH 7 (from memory), and so
// happens in a skin at the surface.
type Redox struct {
	FerricMoles  float64 `json:"iron_iii_mol"`
	FerrousMoles float64 `json:"iron_ii_mol"`

	InBath Toll `json:"already_in_bath"` // what the iron(III) there is takes from bare steel, once
	// SteelByAirGramsPerDay is what each day of the air adds while there is bare steel and
	// chelant, with the range of the rates; nothing under a lid.
	SteelByAirGramsPerDay tables.Range `json:"steel_by_air_g_per_day"`
}

// Toll is what bare steel costs at most.
type Toll struct {
	SteelGrams      float64 `json:"steel_g"`
	ChelantMoles    float64 `json:"chelant_mol"`
	ChelantFraction float64 `json:"chelant_fraction"` // of the main chelants in the bath
}

// Redox returns how the iron of the bath stands and what bare steel can cost it.
// How much of that some steel takes in some time is for [Bath.Attack] and [Bath.Course].
func (b *Bath) Redox() (Redox, error) {
	st, err := b.State()
	ferric, err2 := b.Amount("Fe3+")
	ferrous, err3 := b.Amount("Fe2+")
	if err = cmp.Or(err, err2, err3); err != nil {
		return Redox{}, err
	}
	counted := HoldingsOf(st).Counted()
	r := Redox{FerricMoles: float64(ferric), FerrousMoles: float64(ferrous)}
	taken := r.FerricMoles / 2
	r.InBath = Toll{SteelGrams: taken * IronMolarMass, ChelantMoles: min(taken, counted.Free())}
	if whole := counted.Total(); whole > 0 {
		r.InBath.ChelantFraction = r.InBath.ChelantMoles / whole
	}
	steel := make([]float64, 1+worlds)
	for i, z := range deviates() {
		w := way{bath: b, deviates: z}
		k, err := w.rates(st.IonicStrengthMolPerLitre)
		if err != nil {
			return Redox{}, err
		}
		if k.oxygen > 0 {
			volume := st.VolumeLitres / 1000
			oxygen := k.surface * k.oxygenFlux(volume/k.surface, (r.FerricMoles+r.FerrousMoles+taken)/volume)
			steel[i] = 86400 * (2 - k.spoilt) * oxygen * IronMolarMass
		}
	}
	r.SteelByAirGramsPerDay = around(steel)
	return r, nil
}

// Attack is the steel in g that an area of bare steel loses in some time in the place where
// the tub stands: [Bath.Course] with nothing else in it, and the range of the two figures that
// matter, the film at the steel and the gas transfer velocity. Nobody has measured it in a
// neutral chelant bath at room temperature; what comes through the film gives 1 to 10 g/(m² h)
// while there is iron(III). (Industrial cleaning accepts below 8 g/(m² h), HG/T 2387-92.)
func (b *Bath) Attack(bare unit.Area, time unit.Time) (tables.Range, error) {
	var err error
	lost := func(figure string, z float64) float64 {
		h, e := b.odd(Parts{BareSteelCm2: 1e4 * float64(bare)}, figure, z, float64(time)/3600)
		if err = cmp.Or(err, e); err != nil {
			return 0
		}
		return h[0].SteelLostGrams.Typical
	}
	typical := lost("steel", 0)
	off := func(z float64) float64 { return math.Hypot(lost("steel", z)-typical, lost("gas", z)-typical) }
	return tables.Range{Low: typical - off(-spread.NineInTen), Typical: typical, High: typical + off(spread.NineInTen)}, err
}

// SteelAtRisk returns the steel in g that the acid of the bath below pH 7 could dissolve.
func (b *Bath) SteelAtRisk() (float64, error) {
	grams, err := b.Solution.Clone().Bring(strongBase, solution.PH(7))
	if errors.Is(err, solution.ErrUnreachable) { // at or above 7 already
		return 0, nil
	}
	return grams * strongBase.MolPerGram().Typical / 2 * IronMolarMass, err // half a mole for one of base
}

// Air lets the oxygen of the air turn all iron(II) of the bath into iron(III).
func (b *Bath) Air() error {
	ferrous, err := b.Amount("Fe2+")
	return cmp.Or(err, b.React(byAir, ferrous/4))
}

// Strip lets the bath take up a mass of a metal of the tables' couples, such as the zinc of
// galvanised parts, giving hydrogen off.
func (b *Bath) Strip(metal string, m unit.Mass) error {
	grams, err := b.weigh("mass of metal", m)
	if err != nil {
		return err
	}
	c, err := tables.Find[tables.Couple](b.tables, metal)
	if err == nil && !c.Metal() {
		err = &chem.InputError{Field: "metal", Value: metal, Want: "a metal, not a pair of ions"}
	}
	if err != nil {
		return err
	}
	z := float64(c.Electrons())
	return b.React(chem.Reaction{Terms: []chem.Term{
		{Coefficient: -1, Species: c.Reduced}, {Coefficient: -z, Species: hydrogenIon},
		{Coefficient: 1, Species: c.Oxidised}, {Coefficient: z / 2, Species: hydrogenGas},
	}}, unit.Mole(grams/c.Reduced.Formula.MolarMass()))
}

// Corrode lets the bath take up a mass of bare steel: by iron(III) as far as there is any, the
// rest by acid and water, giving hydrogen off.
func (b *Bath) Corrode(steel unit.Mass) error {
	grams, err := b.weigh("steel", steel)
	ferric, err2 := b.Amount("Fe3+")
	if err = cmp.Or(err, err2); err != nil {
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
