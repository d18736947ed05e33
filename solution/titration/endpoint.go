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
	if d.Kind == tables.Metallochromic && d.here {
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

// watched is the reading of a dye along a curve.
type watched struct{ ml, reading []float64 }

// watch walks along the curve once for all dyes.
func (t *Titration) watch(ctx context.Context, upTo unit.Volume, dyes ...*dye) ([]watched, error) {
	seen := make([]watched, len(dyes))
	for p, err := range t.Points(ctx, fine(upTo, false)) {
		if err != nil {
			return nil, err
		}
		for i, d := range dyes {
			seen[i].ml, seen[i].reading = append(seen[i].ml, p.ML), append(seen[i].reading, d.reading())
		}
	}
	return seen, nil
}

// crosses tells whether the reading passes a value between place k and the last.
func (w watched) crosses(k int, value float64) bool {
	return (w.reading[k-1] < value) != (w.reading[k] < value)
}

func (d *dye) endpoints(seen watched) ([]Endpoint, error) {
	var out []Endpoint
	for _, c := range d.changes() {
		for k := 1; k < len(seen.ml); k++ {
			if !seen.crosses(k, c.half()) {
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

// endpoint is the change of which the first half is done between place k and the
// last.
func (d *dye) endpoint(seen watched, k int, c change) (Endpoint, error) {
	rises := seen.reading[k-1] < c.half()
	first, last := c.low, c.high
	if !rises {
		first, last = last, first
	}
	var ml [3]float64
	for i, value := range [3]float64{first, last, c.half()} {
		direction := 1
		if i == 0 {
			direction = -1
		}
		var err error
		if ml[i], err = d.passes(seen, k, direction, value); err != nil {
			return Endpoint{}, err
		}
	}
	p, err := d.run.at(ml[2], false, nil)
	if err != nil {
		return Endpoint{}, err
	}
	if d.Kind == tables.Metallochromic { // the main colours of bound and free dye
		shades := d.shades()
		c.from = shades[slices.IndexFunc(shades, func(s Shade) bool { return s.Metal != "" })].Colour
		c.to = shades[slices.IndexFunc(shades, func(s Shade) bool { return s.Metal == "" })].Colour
	}
	if !rises {
		c.from, c.to = c.to, c.from
	}
	return Endpoint{d.Name, c.from, c.to, p.Reading, ml[0], ml[1]}, nil
}

// passes finds where the reading passes a value, from place k on in a direction:
// the end of the curve where it does not.
func (d *dye) passes(seen watched, k, direction int, value float64) (float64, error) {
	for ; k >= 1 && k < len(seen.ml); k += direction {
		if seen.crosses(k, value) {
			return root.Between(func(ml float64) (float64, error) {
				_, err := d.run.at(ml, false, nil)
				return d.reading() - value, err
			}, seen.ml[k-1], seen.reading[k-1]-value, seen.ml[k], seen.reading[k]-value, 0)
		}
	}
	return seen.ml[max(k-1, 0)], nil
}
