package bath

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/compiled"
	"example.com/chelation/tables"
)

// Limit is how much of an oxide a bath can dissolve while its pH is held.
type Limit struct {
	Oxide          string  `json:"oxide"`
	PH             float64 `json:"ph"`
	IronMoles      float64 `json:"iron_mol"`         // in solution in all, what is there already included
	IronPerChelant float64 `json:"iron_per_chelant"` // by the main chelants; citrate beside them may hold more
}

// Limit returns the iron in solution once the bath has stood over an unlimited amount of the
// oxide at a pH from 1 to 13, held with hydrochloric acid or sodium hydroxide.
func (b *Bath) Limit(o Oxide, pH float64) (Limit, error) {
	c := b.contact(o)
	return c.limit(pH), c.err
}

// ErrLimitless says that a bath dissolves an oxide without end, as strong acid
// does: nothing but the amount of acid limits it.
var ErrLimitless = errors.New("no limit")

// contact is a bath over an oxide before any of it dissolves. The first error is kept, and
// answers after it mean nothing.
type contact struct {
	vessel   *solution.Solution
	tables   *tables.Tables
	oxide    Oxide
	start    *solution.State
	holdings Holdings
	iron     float64 // mol in solution at the start
	err      error

	place     Place   // of the tub
	gasLitres float64 // of carbon dioxide that is taken to have left
}

// contact brings the bath together with an oxide, which dissolves over days: what gas an open
// tub holds is gone by then.
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

// alone is the pH of a bath that nobody holds.
const alone = 0

// An ending is a vessel at rest over more of an oxide than it can dissolve.
type ending struct {
	*compiled.Run
	litres float64
	ion    int       // the member that acid or lye brought, -1 if none
	iron   []float64 // in each of the species and, after them, solids
}

// dissolved and settled return the iron in solution and in solids, mol/L.
func (e *ending) dissolved() float64 { return floats.Dot(e.iron[:len(e.Species)], e.Result.C) }
func (e *ending) settled() float64   { return floats.Dot(e.iron[len(e.Species):], e.Result.Solid) }

// look notes where the iron is, and the place of an ion.
func (e *ending) look(ion string) {
	e.ion, e.iron = -1, make([]float64, len(e.Made))
	if i := slices.Index(e.Stock.Text, ion); i >= 0 {
		e.ion = e.Place(i)
	}
	for j, made := range e.Made {
		for _, x := range made {
			if e.Components[x.Component].Class == tables.IronMetal {
				e.iron[j] += x.N
			}
		}
	}
}

// ends puts more of the oxide into a copy of the vessel than it can dissolve, and brings it to a
// pH to be held: a little more than the chelants could hold, doubled until some is left, as the
// oxide or as the hydroxide that comes down from one less stable.
func (c *contact) ends(pH float64) (e ending, ok bool) {
	const (
		beyondChelant = 1.5  // times what the chelants hold
		beyondWater   = 0.01 // mol/L on top
		most          = 8    // mol/L of iron: a paste
	)
	if c.err != nil {
		return e, false
	}
	litres := c.start.VolumeLitres
	for plenty := beyondChelant*c.holdings.Total() + beyondWater*litres; plenty <= most*litres; plenty *= 2 {
		v, ion := c.vessel.Clone(), ""
		c.err = cmp.Or(v.AddSpecies(c.oxide.Species, unit.Mole(plenty/c.oxide.IronPerFormula)), v.Allow(c.oxide.Species))
		if c.err == nil && pH != alone {
			v.Close()
			ion, c.err = bring(v, pH)
			c.err = cmp.Or(c.err, v.HoldPH(pH))
		}
		if c.err == nil {
			e.Run, c.err = v.Solve()
		}
		if c.err != nil {
			return e, false
		}
		e.look(ion)
		if e.litres = 1000 * float64(v.Volume()); e.settled() > 0 {
			return e, true
		}
		e.Return()
	}
	c.err = &chem.InputError{Field: "bath", Value: fmt.Sprintf("one that dissolves more than %d mol/L of iron as %s", most, c.oxide.Name),
		Want: "a pH at which the oxide has a limit", Kind: ErrLimitless}
	return e, false
}

// shift gives the oxide, the solid k, another constant. Where the pH is held, the acid or lye
// that this takes brings its ion; what that adds to the volume is left out.
func (e *ending) shift(k int, log10K float64) error {
	e.Medium.LnKs0 = slices.Clone(e.Medium.LnKs0)
	e.Medium.LnKs0[k] = -math.Ln10 * log10K
	const turns = 3 // each leaves some hundredth of what the ion still does to the ionic strength
	err := e.Solve()
	for turn := 1; turn < turns && e.ion >= 0 && err == nil; turn++ {
		more := e.Total(0) - e.Conditions.Total[0]
		e.Conditions.Total[0] += more
		e.Conditions.Total[e.ion] -= more * float64(e.Member(e.ion).Species.Formula.Charge())
		err = e.Solve()
	}
	return err
}

func (c *contact) reached(e ending) Limit {
	l := Limit{Oxide: c.oxide.Name, PH: e.PH(), IronMoles: e.dissolved() * e.litres}
	if chelant := c.holdings.Counted().Total(); chelant > 0 {
		l.IronPerChelant = l.IronMoles / chelant
	}
	return l
}

// end returns where the bath comes to rest, alone or while a pH is held.
func (c *contact) end(pH float64) Limit {
	e, ok := c.ends(pH)
	if !ok {
		return Limit{}
	}
	defer e.Return()
	return c.reached(e)
}

// limit is the end while a pH is held.
func (c *contact) limit(pH float64) Limit {
	c.err = cmp.Or(c.err, chem.Within("held pH", pH, lowestPH, highestPH, ""))
	l := c.end(pH)
	l.PH = pH
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
