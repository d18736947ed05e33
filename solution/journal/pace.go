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
			d, gone, err := e.dip(t)
			if err != nil {
				return nil, 0, err
			}
			if seen, err := p.Seen(before, d, unit.Time(e.Hours)*measure.Hour, gone); err == nil {
				p, n = seen, n+1
			}
		}
	}
	return p, n, nil
}

// dip is the part as it went in, and the share of its rust that came off.
func (e Event) dip(t *tables.Tables) (d rust.Dip, gone float64, err error) {
	const leastGone = 0.05 // of the rust, that an eye tells from none: judgement
	if gone = 1; e.PartGone != nil {
		gone = *e.PartGone
	}
	var err1, err2, err3 error
	d.Rust, err1 = t.Rust(cmp.Or(e.RustKind, "fresh-orange"))
	d.Oxide, err2 = bath.FindOxide(t, e.Oxide)
	d.Area = unit.Area(e.AreaCM2) * measure.SquareCentimetre
	d.Layer, err3 = rust.LayerOfMass(d.Rust, e.Rust()/unit.Mass(max(gone, leastGone)), d.Area)
	return d, gone, cmp.Or(err1, err2, err3)
}
