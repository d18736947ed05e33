package rust

import (
	"cmp"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/grain"
	"example.com/chelation/tables"
)

// Motion is how the liquid next to a part is renewed.
type Motion string

// The motions. Bubbling air is none: it ends the help of iron(II) and feeds the attack on steel.
const (
	Still   Motion = "still"   // the part lies there; the zero Motion counts as this
	Moved   Motion = "moved"   // lifted or turned every hour or so
	Stirred Motion = "stirred" // pumped or stirred all the time
)

// Dip is a rusty part in a bath.
type Dip struct {
	Rust    tables.Rust // kind of rust: how readily its phases dissolve
	Layer   Layer       // how much of it per area
	Area    unit.Area   // of rusty steel, all parts together
	Oxide   bath.Oxide  // that the rust counts as in equilibrium
	Held    bool        // acid holds the pH at what it is; otherwise it drifts
	Motion  Motion      // of the liquid next to the parts
	Airless bool        // no oxygen: counts the full help of iron(II) seen in the laboratory
}

func (d Dip) check() error {
	if d.Oxide.Species == "" {
		return &chem.InputError{Field: "oxide", Value: "missing", Want: "an oxide, see bath.FindOxide"}
	}
	return cmp.Or(known(d.Rust),
		chem.Within("iron per area", d.Layer.IronGramsPerM2.Typical, 1e-3, 1e5, "g/m²"),
		checkArea(d.Area))
}

// checkArea refuses less than a square millimetre and more than a shop has: judgement.
func checkArea(a unit.Area) error { return chem.Within("area", float64(a), 1e-6, 1e4, "m²") }

// Arrhenius returns how many times faster a step of an activation energy in
// kJ/mol (0 to 300) goes at one temperature than at another.
func Arrhenius(energy float64, from, to unit.Temperature) (float64, error) {
	if err := cmp.Or(chem.Within("activation energy", energy, 0, 300, "kJ/mol"),
		chem.Within("temperature", float64(from), 200, 500, "K"),
		chem.Within("temperature", float64(to), 200, 500, "K")); err != nil {
		return 0, err
	}
	return grain.Arrhenius(energy, float64(from), float64(to)), nil
}
