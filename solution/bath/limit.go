package bath

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// Limit is how much of an oxide a bath can dissolve while its pH is held.
type Limit struct {
	Oxide     string  `json:"oxide"`
	PH        float64 `json:"ph"`
	IronMoles float64 `json:"iron_mol"` // in solution in all, what is there already included
	// IronPerChelant is by the main chelants; above one where citrate beside them
	// holds some too.
	IronPerChelant float64 `json:"iron_per_chelant"`
}

// Limit returns the iron in solution once the bath has stood over an unlimited
// amount of the oxide at a pH from 1 to 13, held with hydrochloric acid or
// sodium hydroxide, which bind no iron to speak of. No other oxide than the one
// asked about and those that come down within hours can form.
func (b *Bath) Limit(o Oxide, pH float64) (Limit, error) {
	c := b.contact(o)
	return c.limit(pH), c.err
}

// ErrLimitless says that a bath dissolves an oxide without end, as strong acid
// does: nothing but the amount of acid limits it.
var ErrLimitless = errors.New("no limit")

// contact is a bath over an oxide before any of it dissolves, looked at once and
// then asked how far it goes. The first error is kept, and answers after it mean
// nothing.
type contact struct {
	vessel   *solution.Solution
	tables   *tables.Tables
	oxide    Oxide
	start    *solution.State
	holdings Holdings
	iron     float64 // mol in solution at the start

	solubility func(*solution.Solution) error // of the oxide, where it is not that of the tables
	end        *solution.Solution             // at the last end asked for
	ionic      float64                        // its ionic strength, mol/L
	err        error

	place     Place   // of the tub
	gasLitres float64 // of carbon dioxide that is taken to have left
}

// contact brings the bath together with an oxide. That dissolves over days: what gas an open
// tub still holds is gone by then.
func (b *Bath) contact(o Oxide) *contact {
	c := &contact{oxide: o, place: b.Place(), err: cmp.Or(b.ready(), o.check())}
	if c.err != nil {
		return c
	}
	c.vessel, c.tables = b.Solution.Clone(), b.tables
	if c.place.Open() {
		c.gasLitres, c.err = c.place.degas(c.vessel)
	}
	if c.err == nil {
		c.update(c.vessel.Equilibrate())
	}
	return c
}

// update takes in the state that the vessel is in by now.
func (c *contact) update(st *solution.State, err error) {
	if c.err = err; err == nil {
		c.start, c.holdings, c.iron = st, HoldingsOf(st), ironDissolved(st)
	}
}

// saturated puts more of the oxide into a copy of the vessel than it can dissolve and
// settles it. It starts from a little more than the chelants could hold and doubles
// that until some is left, as the oxide itself or as the hydroxide that comes down
// from one less stable.
func (c *contact) saturated(settle func(*solution.Solution) (*solution.State, error)) Limit {
	if c.err != nil {
		return Limit{}
	}
	const (
		beyondChelant = 1.5  // times what the chelants hold
		beyondWater   = 0.01 // mol/L on top
		most          = 8    // mol/L of iron: a paste
	)
	litres := c.start.VolumeLitres
	for plenty := beyondChelant*c.holdings.Total() + beyondWater*litres; plenty <= most*litres; plenty *= 2 {
		v := c.vessel.Clone()
		c.err = cmp.Or(v.AddSpecies(c.oxide.Species, unit.Mole(plenty/c.oxide.IronPerFormula)), v.Allow(c.oxide.Species))
		if c.err == nil && c.solubility != nil {
			c.err = c.solubility(v)
		}
		var end *solution.State
		if c.err == nil {
			end, c.err = settle(v)
		}
		if c.err != nil {
			return Limit{}
		}
		if left(end) {
			c.end, c.ionic = v, end.IonicStrengthMolPerLitre
			return c.reached(end)
		}
	}
	c.err = &chem.InputError{Field: "bath", Value: fmt.Sprintf("one that dissolves more than %d mol/L of iron as %s", most, c.oxide.Name),
		Want: "a pH at which the oxide has a limit", Kind: ErrLimitless}
	return Limit{}
}

// left reports whether some solid of iron is left.
func left(end *solution.State) bool {
	return slices.ContainsFunc(end.Solids, func(s solution.Solid) bool { return s.Moles > 0 && classIn(end, s.Made, tables.IronMetal) > 0 })
}

// reached tells what is in solution at the end.
func (c *contact) reached(end *solution.State) Limit {
	l := Limit{Oxide: c.oxide.Name, PH: end.PH, IronMoles: ironDissolved(end)}
	if chelant := c.holdings.Counted().Total(); chelant > 0 {
		l.IronPerChelant = l.IronMoles / chelant
	}
	return l
}

// leftAlone returns where the bath ends when nobody holds its pH.
func (c *contact) leftAlone() Limit { return c.saturated((*solution.Solution).Equilibrate) }

// limit returns where the bath ends while its pH is held.
func (c *contact) limit(pH float64) Limit {
	if c.err = cmp.Or(c.err, chem.Within("held pH", pH, lowestPH, highestPH, "")); c.err != nil {
		return Limit{}
	}
	l := c.saturated(func(v *solution.Solution) (*solution.State, error) {
		v.Close()
		dosed := v.Clone()
		if err := bring(dosed, pH); err != nil {
			return nil, err
		}
		return dosed.Equilibrate()
	})
	if l.PH = pH; c.err == nil {
		c.err = c.end.HoldPH(pH) // for what is asked of it afterwards
	}
	return l
}

// limitOrNone is limit, with infinite iron where nothing limits it.
func (c *contact) limitOrNone(pH float64) Limit {
	l := c.limit(pH)
	if errors.Is(c.err, ErrLimitless) {
		c.err = nil
		return Limit{IronMoles: math.Inf(1), IronPerChelant: math.Inf(1)}
	}
	return l
}
