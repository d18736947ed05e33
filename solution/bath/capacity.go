package bath

import (
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
)

// Loss is the chelant that the hardness of the water holds.
type Loss struct {
	Moles    float64 `json:"chelant_mol"`
	Fraction float64 `json:"fraction"` // of all the chelant
}

// Capacity is an amount of iron, and the same iron as rust.
type Capacity struct {
	Moles float64 `json:"iron_mol"`
	Iron  float64 `json:"iron_g"`
	Rust  float64 `json:"rust_g"` // of the oxide asked about; FeOOH where none was
}

// Area returns the area of steel whose layer of rust the capacity clears.
func (c Capacity) Area(l Layer) unit.Area { return unit.Area(c.Iron / l.Iron.Typical) }

// ironCapacity never falls below nothing: a bath that holds more than it should
// takes up no more.
func ironCapacity(moles float64) Capacity {
	moles = max(0, moles)
	return Capacity{moles, moles * iron.MolarMass(), moles * rust.MolarMass()}
}

// capacity is ironCapacity with the mass of this oxide.
func (o Oxide) capacity(moles float64) Capacity {
	c := ironCapacity(moles)
	c.Rust = o.grams(c.Moles)
	return c
}

// Holding tells what holds a chelant.
type Holding struct {
	Chelant  string  `json:"chelant"` // the bare anion
	Strong   bool    `json:"strong"`  // holds iron one to one far into the alkaline
	Total    float64 `json:"total_mol"`
	Hardness float64 `json:"with_calcium_and_magnesium_mol"`
	Iron     float64 `json:"with_iron_mol"`
	Others   float64 `json:"with_other_metals_mol"`
	Settled  float64 `json:"settled_as_acid_mol"` // as solid acid
	Free     float64 `json:"free_mol"`            // alone, with protons, or with sodium and potassium
}

// chelators are the anions that hold iron. The strong ones are the
// aminopolycarboxylates. A judgement from the constants in the tables.
var chelators = []struct {
	anion  string
	strong bool
}{
	{"edta4-", true}, {"hedta3-", true}, {"dtpa5-", true}, {"nta3-", true},
	{"cit3-", false}, {"tart2-", false}, {"gluc-", false},
}

// Holdings returns the chelants of the bath and what holds them.
func (b *Bath) Holdings() ([]Holding, error) {
	st, err := b.State()
	if err != nil {
		return nil, err
	}
	return holdings(st), nil
}

func holdings(st *solution.State) []Holding {
	var out []Holding
	for _, c := range chelators {
		total := totalOf(st, c.anion)
		if total <= 0 {
			continue
		}
		h := Holding{Chelant: c.anion, Strong: c.strong, Total: total}
		for _, f := range st.Distribution(c.anion) {
			n := f.Value * total
			formula := f.Species.Formula
			switch {
			case formula.Count("Fe") > 0:
				h.Iron += n
			case formula.Count("Ca")+formula.Count("Mg") > 0:
				h.Hardness += n
			case bindsMetal(formula):
				h.Others += n
			case f.Species.Phase != chem.Aqueous:
				h.Settled += n
			default:
				h.Free += n
			}
		}
		out = append(out, h)
	}
	return out
}

// totalOf returns the moles of a component in the vessel, 0 if it is not there.
func totalOf(st *solution.State, component string) float64 {
	for _, c := range st.Components {
		if c.Species.String() == component {
			return c.Total * st.Litres
		}
	}
	return 0
}

// sum adds up a figure of the strong chelants, or of all.
func sum(all []Holding, strongOnly bool, figure func(Holding) float64) float64 {
	n := 0.0
	for _, h := range all {
		if h.Strong || !strongOnly {
			n += figure(h)
		}
	}
	return n
}

func free(h Holding) float64  { return h.Free + h.Settled }
func total(h Holding) float64 { return h.Total }

// Capacities are the four numbers to tell apart when one asks what a bath can
// still take: each is iron beyond what it holds already.
type Capacities struct {
	Oxide string  `json:"oxide"`
	PH    float64 `json:"held_ph"`

	// Chelant is one iron for each strong chelant that no other metal holds;
	// Stoichiometric counts citrate and its like as well.
	Chelant        Capacity `json:"chelant"`
	Stoichiometric Capacity `json:"stoichiometric"`
	// Equilibrium is what this oxide can give at the held pH and temperature.
	Equilibrium Capacity `json:"equilibrium"`
	// Proton is what the bath takes when left alone, its pH climbing to EndPH,
	// where the oxide stops dissolving.
	// ProtonLow and ProtonHigh hold it in nine cases in ten as far as the
	// solubility of the oxide goes, over which sources differ most.
	Proton     Capacity `json:"proton"`
	ProtonLow  Capacity `json:"proton_low"`
	ProtonHigh Capacity `json:"proton_high"`
	EndPH      float64  `json:"proton_end_ph"`
	// Practical is PracticalShare of the smallest of Chelant, Stoichiometric and
	// Equilibrium: the bath at the held pH, not run to its last molecule.
	Practical Capacity `json:"practical"`
	Share     float64  `json:"practical_share"`

	Chelants []Holding `json:"chelants"`
}

// PracticalShare is the part of its capacity after which a bath is given up,
// since the last part works ever more slowly: common practice, no source.
const PracticalShare = 0.75

// Capacities answers what the bath can still take of an oxide when its pH is
// held, and when it is not.
func (b *Bath) Capacities(o Oxide, pH float64) (Capacities, error) {
	st, err := b.State()
	if err != nil {
		return Capacities{}, err
	}
	limit, err := b.Limit(o, pH)
	if err != nil {
		return Capacities{}, err
	}
	end, err := b.exhaust(o)
	if err != nil {
		return Capacities{}, err
	}
	low, err := b.exhaustWith(o, -nineInTen, end.IonicStrength)
	if err != nil {
		return Capacities{}, err
	}
	high, err := b.exhaustWith(o, nineInTen, end.IonicStrength)
	if err != nil {
		return Capacities{}, err
	}
	all := holdings(st)
	dissolved := ironDissolved(st)
	c := Capacities{
		Oxide: o.Name, PH: pH,
		Chelant:        o.capacity(sum(all, true, free)),
		Stoichiometric: o.capacity(sum(all, false, free)),
		Equilibrium:    o.capacity(limit.Moles - dissolved),
		Proton:         o.capacity(ironDissolved(end) - dissolved),
		ProtonLow:      o.capacity(ironDissolved(low) - dissolved),
		ProtonHigh:     o.capacity(ironDissolved(high) - dissolved),
		EndPH:          end.PH,
		Share:          PracticalShare,
		Chelants:       all,
	}
	least := min(c.Stoichiometric.Moles, c.Equilibrium.Moles)
	if c.Chelant.Moles > 0 {
		least = min(least, c.Chelant.Moles)
	}
	c.Practical = o.capacity(PracticalShare * least)
	return c, nil
}

// ironDissolved returns the moles of iron in solution.
func ironDissolved(st *solution.State) float64 {
	n := totalOf(st, "Fe2+") + totalOf(st, "Fe3+")
	for _, s := range st.Solids {
		n -= s.Moles * s.Species.Formula.Count("Fe")
	}
	return max(0, n)
}

// lostToHardness adds up the chelant bound to calcium and magnesium.
func lostToHardness(st *solution.State, anion string) Loss {
	l := Loss{}
	for _, h := range holdings(st) {
		if h.Chelant == anion && h.Total > 0 {
			l.Moles, l.Fraction = h.Hardness, h.Hardness/h.Total
		}
	}
	return l
}

// chelantCapacity is one iron for each chelant that no other metal holds more
// firmly than the alkali metals do. It also returns the strength of the bath in
// mol/L.
func chelantCapacity(st *solution.State, anion string) (Capacity, float64) {
	for _, h := range holdings(st) {
		if h.Chelant == anion {
			return ironCapacity(free(h)), h.Total / st.Litres
		}
	}
	return Capacity{}, 0
}

// bindsMetal reports whether a species of a chelant holds a metal other than an
// alkali metal.
func bindsMetal(f chem.Formula) bool {
	for symbol := range f.Composition() {
		switch symbol {
		case "C", "H", "N", "O", "Na", "K":
		default:
			return true
		}
	}
	return false
}
