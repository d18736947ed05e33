package titration

import (
	"cmp"
	"context"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/solution/internal/root"
	"example.com/chelation/tables"
)

// Endpoint is the change of an indicator along a titration: half done at its ML,
// which is the predicted endpoint.
type Endpoint struct {
	Indicator string `json:"indicator"`   // name in the tables
	From      string `json:"from_colour"` // with To: its colours before and after
	To        string `json:"to_colour"`
	Reading
	// Between BeginsML and CompleteML the eye sees the change. BeginsML is 0 where
	// it is under way before the burette is opened.
	BeginsML   float64 `json:"begins_ml"`
	CompleteML float64 `json:"complete_ml"`
}

// change is a colour that turns into another while the reading of a dye rises from
// low to high: what the eye sees of it.
type change struct {
	from, to  string
	low, high float64
}

func (c change) half() float64 { return (c.low + c.high) / 2 }

// changes lists what the eye can see. A metal's change is seen from ten parts
// bound in one free to the reverse: common practice, no source. Its colours depend
// on pH and metal.
func (d *dye) changes() []change {
	var out []change
	if d.Kind == tables.Metallochromic && len(d.metals) > 0 {
		out = append(out, change{low: -1, high: 1})
	}
	for i, c := range d.Changes {
		out = append(out, change{d.Colours[i], d.Colours[i+1], c.LowPH, c.HighPH})
	}
	return out
}

// Endpoints returns the changes of colour that an indicator shows up to a volume,
// in order: none for one that does not turn on this curve.
func (t *Titration) Endpoints(ctx context.Context, x tables.Indicator, upTo unit.Volume) ([]Endpoint, error) {
	d, err := t.dye(x)
	if err != nil {
		return nil, err
	}
	seen, err := t.watch(ctx, upTo, d)
	if err != nil {
		return nil, err
	}
	return d.endpoints(seen[0])
}

// glance is the reading of a dye at a volume.
type glance struct{ ml, reading float64 }

// watch walks along the curve once for all dyes.
func (t *Titration) watch(ctx context.Context, upTo unit.Volume, dyes ...*dye) ([][]glance, error) {
	seen := make([][]glance, len(dyes))
	for p, err := range t.Points(ctx, fine(upTo, false)) {
		if err != nil {
			return nil, err
		}
		for i, d := range dyes {
			seen[i] = append(seen[i], glance{p.ML, d.reading()})
		}
	}
	return seen, nil
}

func (d *dye) endpoints(seen []glance) ([]Endpoint, error) {
	var out []Endpoint
	for _, c := range d.changes() {
		for k := 1; k < len(seen); k++ {
			if !crosses(seen, k, c.half()) {
				continue
			}
			e, err := d.endpoint(seen, k, c)
			if err != nil {
				return nil, err
			}
			out = append(out, e)
		}
	}
	slices.SortStableFunc(out, func(a, b Endpoint) int { return cmp.Compare(a.ML, b.ML) })
	return out, nil
}

// crosses tells whether the reading passes a value between glance k and the last.
func crosses(seen []glance, k int, value float64) bool {
	return (seen[k-1].reading < value) != (seen[k].reading < value)
}

// endpoint is the change of which the first half is done between glance k and the
// last.
func (d *dye) endpoint(seen []glance, k int, c change) (Endpoint, error) {
	rises := seen[k-1].reading < c.half()
	first, last := c.low, c.high
	if !rises {
		first, last = last, first
	}
	e := Endpoint{Indicator: d.Name}
	var err error
	if e.BeginsML, err = d.passes(seen, k, -1, first); err != nil {
		return Endpoint{}, err
	}
	if e.CompleteML, err = d.passes(seen, k, 1, last); err != nil {
		return Endpoint{}, err
	}
	ml, err := d.passes(seen, k, 1, c.half())
	if err != nil {
		return Endpoint{}, err
	}
	p, err := d.run.at(ml, false, nil)
	if err != nil {
		return Endpoint{}, err
	}
	if e.Reading = p.Reading; d.Kind == tables.Metallochromic {
		c.from, c.to = d.colours()
	}
	if e.From, e.To = c.from, c.to; !rises {
		e.From, e.To = e.To, e.From
	}
	return e, nil
}

// passes finds where the reading passes a value, from glance k on in a direction:
// the end of the curve where it does not.
func (d *dye) passes(seen []glance, k, direction int, value float64) (float64, error) {
	for ; k >= 1 && k < len(seen); k += direction {
		if !crosses(seen, k, value) {
			continue
		}
		a, b := seen[k-1], seen[k]
		return root.Between(func(ml float64) (float64, error) {
			_, err := d.run.at(ml, false, nil)
			return d.reading() - value, err
		}, a.ml, a.reading-value, b.ml, b.reading-value, 0)
	}
	return seen[max(k-1, 0)].ml, nil
}

// colours returns the main colours of bound and free dye at the last point.
func (d *dye) colours() (bound, free string) {
	for _, s := range d.shades() {
		if s.Metal != "" && bound == "" {
			bound = s.Colour
		}
		if s.Metal == "" && free == "" {
			free = s.Colour
		}
	}
	return bound, free
}
