package bath

import (
	"errors"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// Bath is a tub in use. Its methods ask what the tub can still take and what
// would become of it; those that change it say so. It is not safe for
// concurrent use; [Bath.Clone] gives each goroutine its own.
type Bath struct {
	tables *tables.Tables
	vessel *solution.Solution
	co2    float64 // pressure of CO2 over the bath in atm, 0 when closed
}

// New returns a bath, closed to the air, with the contents, volume and
// temperature of a vessel that was made with the same tables. Solids allowed or
// barred there and constants set there do not come along: a bath goes by the
// tables.
func New(t *tables.Tables, v *solution.Solution) (*Bath, error) {
	b := &Bath{tables: t, vessel: v}
	return b.changed(nil)
}

// Clone returns an independent copy.
func (b *Bath) Clone() *Bath { return &Bath{b.tables, b.vessel.Clone(), b.co2} }

// Vessel returns a copy of what is in the tub.
func (b *Bath) Vessel() *solution.Solution { return b.vessel.Clone() }

// Tables returns the tables that the bath reckons with.
func (b *Bath) Tables() *tables.Tables { return b.tables }

// State returns the bath at rest.
func (b *Bath) State() (*solution.State, error) { return b.vessel.Equilibrate() }

// Litres returns the volume of the bath in L.
func (b *Bath) Litres() float64 { return 1000 * float64(b.vessel.Volume()) }

// Open leaves the bath to the carbon dioxide of the air, at a pressure in atm
// such as [solution.AirCO2], until the two agree; that takes days. What the
// oxygen of the air does is another matter: see [Bath.Air].
func (b *Bath) Open(co2 float64) error {
	if err := b.vessel.Open(co2); err != nil {
		return err
	}
	b.co2 = co2
	return nil
}

// Close shuts the bath off from the air. A new bath is closed.
func (b *Bath) Close() {
	b.vessel.Close()
	b.co2 = 0
}

// Add adds a mass of a reagent as it is sold.
func (b *Bath) Add(r tables.Reagent, m unit.Mass) error { return b.vessel.Add(r, m) }

// AddWater adds water.
func (b *Bath) AddWater(w tables.Water, v unit.Volume) error { return b.vessel.AddWater(w, v) }

// Evaporate takes out pure water.
func (b *Bath) Evaporate(v unit.Volume) error { return b.vessel.Evaporate(v) }

// SetTemperature warms or cools the bath.
func (b *Bath) SetTemperature(t unit.Temperature) error { return b.vessel.SetTemperature(t) }

// Drain takes out some of the bath: a bucket bailed out, or what clings to the
// parts (drag-out). At most all but a thousandth can go.
func (b *Bath) Drain(v unit.Volume) error {
	litres := 1000 * float64(v)
	if err := chem.Within("volume drained", litres, 0, 0.999*b.Litres(), "L"); err != nil {
		return err
	}
	return b.vessel.Remove(litres / b.Litres())
}

// Blend pours all of another bath in. The blend has the temperature of b.
func (b *Bath) Blend(other *Bath) error { return b.vessel.Mix(other.vessel) }

// Dissolve lets the bath take up a mass of rust in g, all of it. Whatever of it
// the bath cannot hold comes down as ferric or ferrous hydroxide, the forms in
// which iron falls out within hours. To ask what the bath would leave
// undissolved see [Bath.Drift].
func (b *Bath) Dissolve(o Oxide, grams float64) error {
	if err := chem.Within("rust", grams, 0, 1e6*max(1, b.Litres()), "g"); err != nil {
		return err
	}
	return b.vessel.AddSpecies(o.Species, unit.Mole(grams/o.MolarMass))
}

// Filter takes out what has settled.
func (b *Bath) Filter() error {
	st, err := b.State()
	if err != nil {
		return err
	}
	change := map[string]float64{}
	for _, s := range st.Solids {
		if s.Moles <= 0 {
			continue
		}
		f, err := b.tables.Formation(s.Species)
		if err != nil {
			return err
		}
		for _, c := range f.Coefficients {
			change[b.tables.Components()[c.Component].Species.String()] -= c.N * s.Moles
		}
	}
	return b.become(change)
}

// become changes the amounts of components by so many moles.
func (b *Bath) become(change map[string]float64) error {
	next, err := b.changed(change)
	if err == nil {
		*b = *next
	}
	return err
}

// changed returns a bath whose amounts of components differ by so many moles.
func (b *Bath) changed(change map[string]float64) (*Bath, error) {
	v, err := solution.New(b.tables, b.vessel.Temperature())
	if err != nil {
		return nil, err
	}
	if err := v.AddPureWater(b.vessel.Volume()); err != nil {
		return nil, err
	}
	for _, c := range b.tables.Components() {
		name := c.Species.String()
		n, err := b.vessel.Amount(name)
		if err != nil {
			return nil, err
		}
		amount := float64(n) + change[name]
		switch {
		case c.Role == "proton" && amount < 0:
			err = v.AddSpecies("OH-", unit.Mole(-amount))
		case amount < 0 && -amount <= 1e-9*float64(n): // a difference that is rounding
		default:
			err = v.AddSpecies(name, unit.Mole(amount))
		}
		if err != nil {
			return nil, &chem.InputError{Field: "amount of " + name, Value: "below what would be taken out", Want: "no more taken out than is there", Err: err}
		}
	}
	if b.co2 > 0 {
		err = v.Open(b.co2)
	}
	return &Bath{b.tables, v, b.co2}, err
}

// pure returns a reagent without what is sold along with it, so that holding a
// pH adds no water.
func (b *Bath) pure(name string) (tables.Reagent, error) {
	r, err := b.tables.Reagent(name)
	r.Assay = tables.Range{Low: 1, Typical: 1, High: 1}
	r.ExcessBase = tables.Range{}
	return r, err
}

// hold returns the dose of a strong acid or base, free of water, that brings a
// vessel to a pH.
func (b *Bath) hold(v *solution.Solution, pH float64) (solution.Dose, error) {
	var none solution.Dose
	for _, name := range []string{"muriatic acid", "sodium hydroxide"} {
		r, err := b.pure(name)
		if err != nil {
			return none, err
		}
		d, err := v.Dose(r, solution.PH(pH))
		if !errors.Is(err, solution.ErrUnreachable) {
			return d, err
		}
	}
	return none, &chem.InputError{Field: "pH", Value: format(pH), Want: "a pH that strong acid or lye can bring about in this bath"}
}

// At returns the bath with strong acid or base added to bring it to a pH: what
// a reading says it is.
func (b *Bath) At(pH float64) (*Bath, error) {
	if err := chem.Within("pH", pH, lowestPH, highestPH, ""); err != nil {
		return nil, err
	}
	d, err := b.hold(b.vessel, pH)
	if err != nil {
		return nil, err
	}
	r, err := b.pure(d.Reagent)
	if err != nil {
		return nil, err
	}
	next := b.Clone()
	return next, next.vessel.Add(r, d.Mass())
}

// The span of pH that this package answers for: outside it the ion activities
// behind the constants mean little.
const lowestPH, highestPH = 1.0, 13.0
