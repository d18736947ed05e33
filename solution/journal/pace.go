package journal

import (
	"cmp"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

// Pace returns what timed dips teach of how fast rust goes, and how many did: those with
// Hours, AreaCM2 and RustGramsPerM2, of what came off, that [rust.Pace.Seen] takes.
func Pace(t *tables.Tables, lives ...*Life) (*rust.Pace, int, error) {
	p, err := rust.NewPace(t)
	if err != nil {
		return nil, 0, err
	}
	n := 0
	for _, l := range lives {
		if l == nil {
			continue
		}
		next := &Life{tables: t}
		for e := range l.happened() {
			before := next.bath
			if next.Apply(e) != nil || e.Kind != Dipped || e.Hours == 0 || e.AreaCM2 == 0 {
				continue
			}
			d, err := e.dip(t)
			if err != nil {
				return nil, 0, err
			}
			if seen, err := p.Seen(before, d, unit.Time(e.Hours)*measure.Hour, e.gone()); err == nil {
				p, n = seen, n+1
			}
		}
	}
	return p, n, nil
}

// gone is the part of the rust that came off.
func (e Event) gone() float64 {
	if e.PartGone == nil {
		return 1
	}
	return *e.PartGone
}

// dip is the part as it went in.
func (e Event) dip(t *tables.Tables) (d rust.Dip, err error) {
	const leastGone = 0.05 // of the rust, that an eye tells from none: judgement
	var err1, err2, err3 error
	d.Rust, err1 = t.Rust(cmp.Or(e.RustKind, "fresh-orange"))
	d.Oxide, err2 = bath.FindOxide(t, e.Oxide)
	d.Area = unit.Area(e.AreaCM2) * measure.SquareCentimetre
	d.Layer, err3 = rust.LayerOfMass(d.Rust, e.Rust()/unit.Mass(max(e.gone(), leastGone)), d.Area)
	return d, cmp.Or(err1, err2, err3)
}
