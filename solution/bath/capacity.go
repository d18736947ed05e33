package bath

import (
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
	Rust  float64 `json:"rust_feooh_g"`
}

var (
	iron = mustFormula("Fe")
	rust = mustFormula("FeO(OH)")
)

// mustFormula reads a formula that is written in this package's own code.
func mustFormula(s string) chem.Formula {
	f, err := chem.ParseFormula(s)
	if err != nil {
		panic(err)
	}
	return f
}

func ironCapacity(moles float64) Capacity {
	moles = max(0, moles)
	return Capacity{moles, moles * iron.MolarMass(), moles * rust.MolarMass()}
}

// lostToHardness adds up the chelant bound to calcium and magnesium.
func lostToHardness(st *solution.State, anion string) Loss {
	l := Loss{}
	total := 0.0
	for _, c := range st.Components {
		if c.Species.String() == anion {
			total = c.Total * st.Litres
		}
	}
	for _, f := range st.Distribution(anion) {
		if f.Species.Formula.Count("Ca") > 0 || f.Species.Formula.Count("Mg") > 0 {
			l.Fraction += f.Value
		}
	}
	l.Moles = l.Fraction * total
	return l
}

// capacity is the stoichiometric limit: one iron for each chelant that no other
// metal holds more firmly than the alkali metals. It also returns the strength
// of the bath in mol/L.
func capacity(st *solution.State, anion string) (Capacity, float64) {
	total, taken := 0.0, 0.0
	for _, c := range st.Components {
		if c.Species.String() == anion {
			total = c.Total
		}
	}
	for _, f := range st.Distribution(anion) {
		if bindsMetal(f.Species.Formula) {
			taken += f.Value
		}
	}
	return ironCapacity(total * (1 - taken) * st.Litres), total
}

// bindsMetal reports whether a species of the chelant holds a metal other than
// an alkali metal.
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
