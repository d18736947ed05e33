package bath

import (
	"cmp"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
)

// Capacity is an amount of iron, and the same iron as rust.
type Capacity struct {
	IronMoles float64 `json:"iron_mol"`
	IronGrams float64 `json:"iron_g"`
	RustGrams float64 `json:"rust_g"` // of the oxide asked about; FeOOH where none was
}

// IronCapacity returns an amount of iron as a capacity, with its rust as FeOOH; of less than
// nothing, that of nothing.
func IronCapacity(iron unit.Mole) Capacity {
	moles := max(0, float64(iron))
	return Capacity{moles, moles * IronMolarMass, moles * RustMolarMass}
}

// Capacity is [IronCapacity] with the mass of this oxide.
func (o Oxide) Capacity(iron unit.Mole) Capacity {
	c := IronCapacity(iron)
	c.RustGrams = o.Grams(unit.Mole(c.IronMoles))
	return c
}

// Capacities are what a bath can still take: iron beyond what it holds already.
type Capacities struct {
	Oxide string  `json:"oxide"`
	PH    float64 `json:"held_ph"`

	// Chelant is one iron for each of the main chelants (see [Holdings.Counted])
	// that no metal holds; Stoichiometric counts citrate and its like as well.
	Chelant        Capacity `json:"chelant_capacity"`
	Stoichiometric Capacity `json:"stoichiometric"`
	// Equilibrium is what this oxide can give at the held pH and temperature.
	Equilibrium Capacity `json:"equilibrium"`
	// Proton is what the bath takes when left alone, its pH climbing to EndPH.
	Proton Capacity `json:"proton"`
	EndPH  float64  `json:"proton_end_ph"`
	// Low and High hold nine cases in ten of what the constants leave open.
	EquilibriumLow  Capacity `json:"equilibrium_low"`
	EquilibriumHigh Capacity `json:"equilibrium_high"`
	ProtonLow       Capacity `json:"proton_low"`
	ProtonHigh      Capacity `json:"proton_high"`
	EndPHLow        float64  `json:"proton_end_ph_low"`
	EndPHHigh       float64  `json:"proton_end_ph_high"`
	// Practical is PracticalShare of the smaller of Chelant and Equilibrium.
	Practical Capacity `json:"practical"`
	Chelants  Holdings `json:"chelants"`
}

// PracticalShare is the part of its capacity after which a bath is given up,
// since the last part works ever more slowly: common practice, no source.
const PracticalShare = 0.75

// Capacities tells what the bath can still take of an oxide, its pH held and not.
func (b *Bath) Capacities(o Oxide, pH float64) (Capacities, error) {
	c := b.contact(o)
	c.err = cmp.Or(c.err, chem.Within("held pH", pH, lowestPH, highestPH, ""))
	limit, least, most := c.band(pH)
	end, low, high := c.band(alone)
	if c.err != nil {
		return Capacities{}, c.err
	}
	x := Capacities{
		Oxide: o.Name, PH: pH,
		Chelant: o.Capacity(unit.Mole(c.holdings.Counted().Free())), Stoichiometric: o.Capacity(unit.Mole(c.holdings.Free())),
		Equilibrium: c.taken(limit), EquilibriumLow: c.taken(least), EquilibriumHigh: c.taken(most),
		Proton: c.taken(end), ProtonLow: c.taken(low), ProtonHigh: c.taken(high),
		EndPH: end.PH, EndPHLow: low.PH, EndPHHigh: high.PH, Chelants: c.holdings,
	}
	x.Practical = o.Capacity(unit.Mole(PracticalShare * min(x.Chelant.IronMoles, x.Equilibrium.IronMoles)))
	return x, nil
}

// LeftAlone returns what the bath takes up of an oxide when nobody holds its pH, and
// the pH to which it then climbs.
func (b *Bath) LeftAlone(o Oxide) (Capacity, float64, error) {
	c := b.contact(o)
	end := c.end(alone)
	return c.taken(end), end.PH, c.err
}

// Held returns what the bath takes up of an oxide while its pH is held: as far as the oxide
// dissolves and there is chelant.
func (b *Bath) Held(o Oxide, pH float64) (Capacity, error) {
	c := b.contact(o)
	return c.held(c.limitOrNone(pH)), c.err
}

// taken returns what has gone into solution at an end; nothing after an error.
func (c *contact) taken(end Limit) Capacity {
	if c.err != nil {
		return Capacity{}
	}
	return c.oxide.Capacity(unit.Mole(end.IronMoles - c.iron))
}

// held returns what goes into solution as far as a limit and the chelants allow.
func (c *contact) held(l Limit) Capacity {
	l.IronMoles = min(l.IronMoles, c.iron+c.holdings.Free())
	return c.taken(l)
}
