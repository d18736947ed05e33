package titration

import (
	"cmp"
	"context"
	"fmt"
	"iter"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/solution/internal/root"
	"example.com/chelation/tables"
)

// Endpoint is the change of an indicator along a titration.
type Endpoint struct {
	Indicator string `json:"indicator"`   // name in the tables
	From      string `json:"from_colour"` // with To: its colours before and after
	To        string `json:"to_colour"`
	// Between Begins and Complete the eye sees the change; at ML it is half done,
	// which is the predicted endpoint. Begins is 0 where the change is under way
	// before the burette is opened.
	BeginsML   float64 `json:"begins_ml"`
	ML         float64 `json:"ml"`
	CompleteML float64 `json:"complete_ml"`
	P          float64 `json:"p"`            // the probe at ML
	SteepPerML float64 `json:"steep_per_ml"` // |dP/dV| there
}

// change is a quantity that rises or falls along a titration, and the values
// between which the eye sees a colour turn.
type change struct {
	from, to          string
	start, half, full float64
}

// reading is what the dye's changes are read on, at the last point: pH for an
// acid–base indicator, log10 of free over bound dye for one of metals.
func (d *Dye) reading() float64 {
	if d.indicator.Kind == tables.AcidBase {
		return d.p()
	}
	return -d.logBound()
}

// changes lists what the eye can see on the reading, rising. A metal's change is
// seen from ten parts bound in one free to the reverse: common practice, no
// source.
func (d *Dye) changes() []change {
	if d.indicator.Kind == tables.Metallochromic {
		if len(d.metals) == 0 {
			return nil
		}
		return []change{{start: -1, half: 0, full: 1}} // the colours depend on pH and metal
	}
	var out []change
	for i, c := range d.indicator.Changes {
		out = append(out, change{d.indicator.Colours[i], d.indicator.Colours[i+1], c.LowPH, (c.LowPH + c.HighPH) / 2, c.HighPH})
	}
	return out
}

// Endpoints returns the changes of colour that an indicator shows up to a volume,
// in order: none for one that does not turn on this curve.
func (t *Titration) Endpoints(ctx context.Context, x tables.Indicator, upTo unit.Volume) ([]Endpoint, error) {
	d, err := t.Dye(x)
	if err != nil {
		return nil, err
	}
	seen, err := t.watch(ctx, upTo, d)
	if err != nil {
		return nil, err
	}
	return t.endpoints(seen[0], d)
}

// glance is a dye at a volume.
type glance struct{ ml, reading float64 }

// watch walks along the curve once for all dyes.
func (t *Titration) watch(ctx context.Context, upTo unit.Volume, dyes ...*Dye) ([][]glance, error) {
	seen := make([][]glance, len(dyes))
	g := Fine(upTo)
	g.Slopes = false
	for p, err := range t.Points(ctx, g) {
		if err != nil {
			return nil, err
		}
		for i, d := range dyes {
			seen[i] = append(seen[i], glance{p.ML, d.reading()})
		}
	}
	return seen, nil
}

func (t *Titration) endpoints(seen []glance, d *Dye) ([]Endpoint, error) {
	find := func(k int, value float64) (float64, error) {
		a, b := seen[k-1], seen[k]
		return root.Between(func(ml float64) (float64, error) {
			_, err := t.at(ml, false)
			return d.reading() - value, err
		}, a.ml, a.reading-value, b.ml, b.reading-value, 0)
	}
	var out []Endpoint
	for _, c := range d.changes() {
		for k := 1; k < len(seen); k++ {
			below := seen[k-1].reading < c.half
			if below == (seen[k].reading < c.half) {
				continue
			}
			e := Endpoint{Indicator: d.indicator.Name}
			first, last := c.start, c.full
			if !below {
				first, last = last, first
			}
			crossed := func(k int, value float64) bool { return (seen[k-1].reading < value) != (seen[k].reading < value) }
			var err error
			if e.ML, err = find(k, c.half); err != nil {
				return nil, err
			}
			for j := k; j >= 1; j-- {
				if crossed(j, first) {
					if e.BeginsML, err = find(j, first); err != nil {
						return nil, err
					}
					break
				}
			}
			e.CompleteML = seen[len(seen)-1].ml
			for j := k; j < len(seen); j++ {
				if crossed(j, last) {
					if e.CompleteML, err = find(j, last); err != nil {
						return nil, err
					}
					break
				}
			}
			p, err := t.at(e.ML, true)
			if err != nil {
				return nil, err
			}
			e.P, e.SteepPerML = p.P, math.Abs(p.Slope)
			if e.From, e.To = c.from, c.to; d.indicator.Kind == tables.Metallochromic {
				e.From, e.To = d.colours()
			}
			if !below {
				e.From, e.To = e.To, e.From
			}
			out = append(out, e)
		}
	}
	slices.SortStableFunc(out, func(a, b Endpoint) int { return cmp.Compare(a.ML, b.ML) })
	return out, nil
}

// colours returns the main colours of bound and free dye at the last point.
func (d *Dye) colours() (bound, free string) {
	for _, s := range d.Shades() {
		if s.Metal != "" && bound == "" {
			bound = s.Colour
		}
		if s.Metal == "" && free == "" {
			free = s.Colour
		}
	}
	return bound, free
}

// Verdict is what an indicator is worth for a titration.
type Verdict struct {
	Endpoint
	// Error is the systematic titration error (ML − equivalence)/equivalence,
	// Early and Late are those of an analyst who stops where the change begins or
	// is complete. All are 0 for an indicator that does not turn.
	RelativeError      float64 `json:"relative_error"`
	EarlyRelativeError float64 `json:"relative_error_early"`
	LateRelativeError  float64 `json:"relative_error_late"`
	Turns              bool    `json:"turns"` // it changes colour on this curve
	Suits              bool    `json:"suits"` // [Verdict.Worst] stays within the tolerance
	Why                string  `json:"why"`   // one sentence
}

// Worst is the error of one who knows the indicator, and stops anywhere from half
// the change to that end of it which lies nearer to equivalence: the first
// lasting tint of phenolphthalein, the last of the red gone from eriochrome black
// T. It is +Inf for an indicator that does not turn.
func (v Verdict) Worst() float64 {
	if !v.Turns {
		return math.Inf(1)
	}
	return max(math.Abs(v.RelativeError), min(math.Abs(v.EarlyRelativeError), math.Abs(v.LateRelativeError)))
}

// Judge holds the indicators against an equivalence volume and returns them best
// first. An indicator suits when [Verdict.Worst] stays within the relative
// tolerance. Metal indicators that know none of the metals present are left out;
// so are acid–base indicators where a metal is followed, and the other way round.
func (t *Titration) Judge(ctx context.Context, indicators iter.Seq[tables.Indicator], equivalence, upTo unit.Volume, tolerance float64) ([]Verdict, error) {
	target, err := millilitres("equivalence", equivalence)
	if err != nil {
		return nil, err
	}
	kind := tables.AcidBase
	if t.probe > 0 {
		kind = tables.Metallochromic
	}
	var dyes []*Dye
	for x := range indicators {
		if x.Kind != kind {
			continue
		}
		d, err := t.Dye(x)
		if err != nil {
			return nil, err
		}
		if kind == tables.AcidBase || len(d.metals) > 0 {
			dyes = append(dyes, d)
		}
	}
	seen, err := t.watch(ctx, upTo, dyes...)
	if err != nil {
		return nil, err
	}
	var out []Verdict
	for i, d := range dyes {
		ends, err := t.endpoints(seen[i], d)
		if err != nil {
			return nil, err
		}
		v := Verdict{Endpoint: Endpoint{Indicator: d.indicator.Name}}
		for _, e := range ends {
			off := func(ml float64) float64 { return ml/target - 1 }
			if w := (Verdict{Endpoint: e, RelativeError: off(e.ML), EarlyRelativeError: off(e.BeginsML), LateRelativeError: off(e.CompleteML), Turns: true}); w.Worst() < v.Worst() {
				v = w
			}
		}
		if !v.Turns {
			if v.Why, err = t.stays(seen[i], d); err != nil {
				return nil, err
			}
		} else {
			t.explain(&v, tolerance)
		}
		out = append(out, v)
	}
	slices.SortStableFunc(out, func(a, b Verdict) int { return cmp.Compare(a.Worst(), b.Worst()) })
	return out, nil
}

// explain says why an indicator that turns does or does not suit.
func (t *Titration) explain(v *Verdict, tolerance float64) {
	same := strings.HasSuffix(v.From, v.To) || strings.HasSuffix(v.To, v.From)
	v.Suits = !same && v.Worst() <= tolerance
	size := func(x float64) string { return fmt.Sprintf("%+.2g %%", 100*x) }
	where := fmt.Sprintf("turns from %s to %s at %s %.2f, %s from equivalence", v.From, v.To, t.Quantity(), v.P, size(v.RelativeError))
	switch {
	case same:
		v.Why = fmt.Sprintf("bound and free dye are both %s at this pH", v.To)
	case v.Suits:
		v.Why = where
	case math.Abs(v.RelativeError) > tolerance:
		v.Why = where + ": too far"
	default:
		v.Why = fmt.Sprintf("%s, but the change drags on from %s to %s", where, size(v.EarlyRelativeError), size(v.LateRelativeError))
	}
}

// stays says why an indicator does not turn.
func (t *Titration) stays(seen []glance, d *Dye) (string, error) {
	last := seen[len(seen)-1]
	if d.indicator.Kind == tables.AcidBase {
		low, high := last.reading, last.reading
		for _, g := range seen {
			low, high = min(low, g.reading), max(high, g.reading)
		}
		return fmt.Sprintf("the pH runs from %.1f to %.1f and does not cross its change", low, high), nil
	}
	if _, err := t.at(last.ml, false); err != nil {
		return "", err
	}
	if shades := d.Shades(); shades[0].Metal != "" {
		return fmt.Sprintf("%s holds the dye to the end", shades[0].Metal), nil
	}
	return "no metal holds the dye at this pH", nil
}
