package titration

import (
	"cmp"
	"context"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/solution/internal/root"
	"example.com/chelation/tables"
)

// Endpoint is the change of an indicator, half done at its ML: the predicted endpoint.
type Endpoint struct {
	Indicator string `json:"indicator"`   // name in the tables
	From      string `json:"from_colour"` // with To: its colours before and after
	To        string `json:"to_colour"`
	Reading
	BeginsML   float64 `json:"begins_ml"`   // to the eye; 0 where it is under way before the burette is opened
	CompleteML float64 `json:"complete_ml"` // to the eye
}

// Endpoints returns the changes of colour of an indicator up to a volume, in order.
func (t *Titration) Endpoints(ctx context.Context, x tables.Indicator, upTo unit.Volume) ([]Endpoint, error) {
	d, err := t.dye(x)
	if err == nil {
		err = t.watch(ctx, upTo, d)
	}
	if err != nil {
		return nil, err
	}
	return d.endpoints()
}

// watch walks along the curve once for all dyes.
func (t *Titration) watch(ctx context.Context, upTo unit.Volume, dyes ...*dye) error {
	for p, err := range t.Points(ctx, Grid{UpTo: upTo, Step: fineStep}) {
		if err != nil {
			return err
		}
		for _, d := range dyes {
			d.ml, d.seen = append(d.ml, p.ML), append(d.seen, d.reading())
		}
	}
	for _, d := range dyes {
		d.held = d.shades()[0].Metal
	}
	return nil
}

// crosses tells whether the reading passes a value between place k and the last.
func (d *dye) crosses(k int, value float64) bool {
	return (d.seen[k-1] < value) != (d.seen[k] < value)
}

func (d *dye) endpoints() ([]Endpoint, error) {
	changes := d.Changes
	if d.Kind == tables.Metallochromic {
		// seen from ten parts bound in one free to the reverse: common practice, no source
		changes = []tables.ColourChange{{LowPH: -1, HighPH: 1}}
	}
	var out []Endpoint
	for i, c := range changes {
		for k := 1; k < len(d.ml); k++ {
			if !d.crosses(k, (c.LowPH+c.HighPH)/2) {
				continue
			}
			e, err := d.endpoint(k, i, c)
			if err != nil {
				return nil, err
			}
			out = append(out, e)
		}
	}
	slices.SortStableFunc(out, func(a, b Endpoint) int { return cmp.Compare(a.ML, b.ML) })
	return out, nil
}

// endpoint is change i, of which half is done between place k and the last.
func (d *dye) endpoint(k, i int, c tables.ColourChange) (Endpoint, error) {
	first, half, last := c.LowPH, (c.LowPH+c.HighPH)/2, c.HighPH
	falls := d.seen[k-1] >= half
	if falls {
		first, last = last, first
	}
	begins, e1 := d.passes(k, -1, first)
	complete, e2 := d.passes(k, 1, last)
	ml, e3 := d.passes(k, 1, half)
	p, e4 := d.run.at(ml, false, nil)
	if err := cmp.Or(e1, e2, e3, e4); err != nil {
		return Endpoint{}, err
	}
	from, to := d.Colours[i], d.Colours[i+1]
	if d.Kind == tables.Metallochromic { // the main colours of bound and free dye, which depend on pH and metal
		shades := d.shades()
		from = shades[slices.IndexFunc(shades, func(s Shade) bool { return s.Metal != "" })].Colour
		to = shades[slices.IndexFunc(shades, func(s Shade) bool { return s.Metal == "" })].Colour
	}
	if falls {
		from, to = to, from
	}
	return Endpoint{d.Name, from, to, p.Reading, begins, complete}, nil
}

// passes finds where the reading passes a value, from place k on, or the end of the curve.
func (d *dye) passes(k, direction int, value float64) (float64, error) {
	for ; k >= 1 && k < len(d.ml); k += direction {
		if d.crosses(k, value) {
			return root.Between(func(ml float64) (float64, error) {
				_, err := d.run.at(ml, false, nil)
				return d.reading() - value, err
			}, d.ml[k-1], d.seen[k-1]-value, d.ml[k], d.seen[k]-value, 0)
		}
	}
	return d.ml[max(k-1, 0)], nil
}
