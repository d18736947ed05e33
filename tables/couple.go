package tables

import (
	"fmt"

	"example.com/chelation/chem"
)

// Couple is a metal with its ion, or two ions of a metal, and the standard potential between them.
type Couple struct {
	Entry
	Oxidised         chem.Species `json:"oxidised"`      // a component of the tables
	Reduced          chem.Species `json:"reduced"`       // the metal, or the ion of lower charge
	PotentialVolts   float64      `json:"potential_v"`   // at 25 °C and zero ionic strength against the hydrogen electrode
	UncertaintyVolts float64      `json:"uncertainty_v"` // standard uncertainty of that
}

// Electrons returns the number of electrons that turn Oxidised into Reduced.
func (c Couple) Electrons() int { return c.Oxidised.Formula.Charge() - c.Reduced.Formula.Charge() }

// Metal reports whether the reduced form is the metal itself.
func (c Couple) Metal() bool { return c.Reduced.Phase == chem.Solid }

func (r row) couple() Couple {
	c := Couple{
		Entry: r.entry(), Oxidised: r.species("oxidised"), Reduced: r.species("reduced"),
		PotentialVolts: r.number("potential_v", -4, 4), UncertaintyVolts: r.number("uncertainty_v", 0, 0.2),
	}
	if !listed[Component](r.Tables).has(c.Oxidised.String()) {
		r.fail("oxidised", "a component")
	}
	if c.Reduced.Formula.Hill() != c.Oxidised.Formula.Hill() || c.Electrons() <= 0 {
		r.fail("reduced", fmt.Sprintf("the same atoms as %s, of lower charge", c.Oxidised))
	}
	return c
}
