package bath

import (
	"cmp"
	"errors"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// Bath is a tub in use: a vessel, with what rust, steel and air do to it. It is not safe
// for concurrent use; [Bath.Clone] gives each goroutine its own.
type Bath struct {
	solution.Solution
	tables *tables.Tables
	place  Place
}

// New returns a bath under a lid (see [Bath.Stand]), with the contents, volume and temperature
// of a vessel made with the same tables; solids allowed or barred and constants set there do
// not come along. A chelant without a constant for iron(III) is an error that wraps [ErrNoIron].
func New(t *tables.Tables, v *solution.Solution) (*Bath, error) {
	if t == nil || v == nil {
		return nil, &chem.InputError{Field: "bath", Value: "without tables or a vessel", Want: "both"}
	}
	own, err := solution.New(t, v.Temperature())
	if err == nil {
		err = own.Mix(v)
	}
	if err != nil {
		return nil, err
	}
	for _, c := range t.Components() {
		if n, err := own.Amount(c.ID); err != nil || n == 0 || !c.Class.Chelant() {
			continue
		}
		if with, err := t.Between("Fe3+", c.ID); err == nil && len(with) == 0 {
			return nil, &chem.InputError{Field: "Chelant", Value: c.Name, Want: "one with a constant for iron(III)", Kind: ErrNoIron}
		}
	}
	return &Bath{Solution: *own, tables: t}, nil
}

// ErrNoIron marks a chelant of which nobody has evaluated how firmly it holds iron(III).
var ErrNoIron = errors.New("no iron(III) constant is evaluated")

// ready refuses a bath that New did not make.
func (b *Bath) ready() error {
	if b == nil || b.tables == nil {
		return &chem.InputError{Field: "bath", Value: "missing", Want: "one that New or a recipe made"}
	}
	return nil
}

// Clone returns an independent copy.
func (b *Bath) Clone() *Bath { return &Bath{*b.Solution.Clone(), b.tables, b.place} }

// Tables returns the tables that the bath reckons with.
func (b *Bath) Tables() *tables.Tables { return b.tables }

// State returns the bath at rest.
func (b *Bath) State() (*solution.State, error) {
	if err := b.ready(); err != nil {
		return nil, err
	}
	return b.Equilibrate()
}

// Litres returns the volume of the bath in L.
func (b *Bath) Litres() float64 { return 1000 * float64(b.Volume()) }

// Drain takes out some of the bath, at most all but a thousandth.
func (b *Bath) Drain(v unit.Volume) error {
	litres := 1000 * float64(v)
	if err := chem.Within("volume drained", litres, 0, 0.999*b.Litres(), "L"); err != nil {
		return err
	}
	return b.Remove(litres / b.Litres())
}

// Blend pours all of another bath in. The blend has the temperature of b.
func (b *Bath) Blend(other *Bath) error {
	if err := cmp.Or(b.ready(), other.ready()); err != nil {
		return err
	}
	return b.Mix(&other.Solution)
}

// Dissolve lets the bath take up a mass of rust, all of it: what it cannot hold comes down as
// ferric or ferrous hydroxide, the forms in which iron falls out within hours.
func (b *Bath) Dissolve(o Oxide, rust unit.Mass) error {
	grams, err := b.weigh("rust", rust)
	if err = cmp.Or(err, o.check()); err != nil {
		return err
	}
	return b.AddSpecies(o.Species, unit.Mole(grams/o.MolarMassGramsPerMole))
}

// weigh returns in g what the bath is to take up, 1000 kg a litre at most.
func (b *Bath) weigh(field string, m unit.Mass) (float64, error) {
	if err := b.ready(); err != nil {
		return 0, err
	}
	grams := 1000 * float64(m)
	return grams, chem.Within(field, grams, 0, 1e6*max(1, b.Litres()), "g")
}

// Filter takes out what has settled, all but a trace that rounding may need.
func (b *Bath) Filter() error {
	st, err := b.Clone().State() // a copy: a life and its replay go on from the same start
	if err != nil {
		return err
	}
	const trace = 1e-12
	next := b.Clone()
	for _, s := range st.Solids {
		away, err := b.into(s.Species, -1)
		if err = cmp.Or(err, next.React(away, unit.Mole((1-trace)*s.Moles))); err != nil {
			return err
		}
	}
	*b = *next
	return nil
}

// At returns the bath with strong acid or base added to bring it to a pH from 1 to 13.
func (b *Bath) At(pH float64) (*Bath, error) {
	if err := cmp.Or(b.ready(), chem.Within("pH", pH, lowestPH, highestPH, "")); err != nil {
		return nil, err
	}
	next := b.Clone()
	_, err := bring(&next.Solution, pH)
	return next, err
}

// Outside this span of pH the ion activities behind the constants mean little.
const lowestPH, highestPH = 1.0, 13.0
