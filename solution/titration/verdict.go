package titration

import (
	"cmp"
	"context"
	"fmt"
	"iter"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// Verdict is what an indicator is worth for a titration. Errors are relative to
// the equivalence volume, and 0, as the volumes are, for one that does not turn.
type Verdict struct {
	Endpoint
	RelativeError float64 `json:"relative_error"` // systematic titration error of the endpoint
	// WorstRelativeError is that of one who stops anywhere from half the change to
	// that end of it which lies nearer to equivalence: the first lasting tint of
	// phenolphthalein, the last of the red gone from eriochrome black T.
	WorstRelativeError float64 `json:"worst_relative_error"`
	Suits              bool    `json:"suits"` // it turns, and WorstRelativeError stays within the tolerance
	Why                string  `json:"why"`   // one sentence
}

// Judge holds the indicators against an equivalence volume and returns them best first; those suit
// whose worst error stays within the relative tolerance. Left out are those of the other kind than
// what is followed, pH or a metal, and metal indicators that know none of the metals present.
func (t *Titration) Judge(ctx context.Context, indicators iter.Seq[tables.Indicator], equivalence, upTo unit.Volume, tolerance float64) ([]Verdict, error) {
	target := inML(equivalence)
	if err := cmp.Or(t.ready(), chem.Within("equivalence", target, leastML, mostML, "mL"), chem.Within("tolerance", tolerance, 0, 1, "")); err != nil {
		return nil, err
	}
	if indicators == nil {
		return nil, &chem.InputError{Field: "indicators", Value: "none", Want: "those of the tables"}
	}
	kind := tables.AcidBase
	if t.probe > 0 {
		kind = tables.Metallochromic
	}
	var dyes []*dye
	for x := range indicators {
		if x.Kind != kind {
			continue
		}
		d, err := t.dye(x)
		if err != nil {
			return nil, err
		}
		if kind == tables.AcidBase || slices.ContainsFunc(d.metals, func(i int) bool { return i >= 0 }) {
			dyes = append(dyes, d)
		}
	}
	if err := t.watch(ctx, upTo, dyes...); err != nil {
		return nil, err
	}
	var out []Verdict
	for _, d := range dyes {
		ends, err := d.endpoints()
		if err != nil {
			return nil, err
		}
		best := Verdict{Endpoint: Endpoint{Indicator: d.Name}}
		for _, e := range ends {
			if v := t.verdict(e, target, tolerance); best.ML == 0 || v.WorstRelativeError < best.WorstRelativeError {
				best = v
			}
		}
		if best.ML == 0 {
			best.Why = d.stays()
		}
		out = append(out, best)
	}
	slices.SortStableFunc(out, func(a, b Verdict) int {
		turn := func(v Verdict) int { return min(len(v.From), 1) }
		return cmp.Or(cmp.Compare(turn(b), turn(a)), cmp.Compare(a.WorstRelativeError, b.WorstRelativeError))
	})
	return out, nil
}

// verdict holds an endpoint against the equivalence.
func (t *Titration) verdict(e Endpoint, target, tolerance float64) Verdict {
	off := func(ml float64) float64 { return ml/target - 1 }
	early, late := off(e.BeginsML), off(e.CompleteML)
	v := Verdict{Endpoint: e, RelativeError: off(e.ML)}
	v.WorstRelativeError = max(math.Abs(v.RelativeError), min(math.Abs(early), math.Abs(late)))
	same := strings.HasSuffix(v.From, v.To) || strings.HasSuffix(v.To, v.From)
	v.Suits = !same && v.WorstRelativeError <= tolerance
	size := func(x float64) string { return fmt.Sprintf("%+.2g %%", 100*x) }
	v.Why = fmt.Sprintf("turns from %s to %s at %s %.2f, %s from equivalence", v.From, v.To, t.Quantity(), v.P, size(v.RelativeError))
	switch {
	case same:
		v.Why = fmt.Sprintf("bound and free dye are both %s at this pH", v.To)
	case v.Suits:
	case math.Abs(v.RelativeError) > tolerance:
		v.Why += ": too far"
	default:
		v.Why += fmt.Sprintf(", but the change drags on from %s to %s", size(early), size(late))
	}
	return v
}

// stays says why an indicator does not turn.
func (d *dye) stays() string {
	switch {
	case d.Kind == tables.AcidBase:
		return fmt.Sprintf("the pH runs from %.1f to %.1f and does not cross its change", floats.Min(d.seen), floats.Max(d.seen))
	case d.held != "":
		return d.held + " holds the dye to the end"
	}
	return "no metal holds the dye at this pH"
}

// NeededLogK returns the log10 K′ that a titration needs for a relative error at its
// equivalence point, at a concentration of metal in mol/L: there the unbound share is
// (K′c)^−½, from K′ = c/x² (so that 8 is needed for 0.001 at 0.01 mol/L).
func NeededLogK(relative, concentration float64) float64 {
	return -2*math.Log10(relative) - math.Log10(concentration)
}
