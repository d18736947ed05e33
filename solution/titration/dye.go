package titration

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// Dye is an indicator in the solution of a titration, as a trace: its forms are
// in balance with the solution and take nothing from it.
//
// The constants are those of the tables, for the temperature and ionic strength
// that they were measured at. Acid–base indicators are held against pH as a meter
// reads it, metallochromic ones against the concentrations of H⁺ and of free
// metals.
type Dye struct {
	indicator tables.Indicator
	run       *Titration
	beta      []float64 // log10 of the form with so many protons beyond the bare one
	metals    []boundDye
}

// boundDye is what a metal makes with the bare dye.
type boundDye struct {
	component int
	tables.IndicatorComplex
}

// Dye puts an indicator of the tables into the titration.
func (t *Titration) Dye(x tables.Indicator) (*Dye, error) {
	if len(x.PKa) == 0 || len(x.Colours) != len(x.PKa)+1 {
		return nil, &chem.InputError{Field: "indicator", Value: fmt.Sprintf("%q", x.Name), Want: "one of the tables, with acid constants and colours"}
	}
	d := &Dye{indicator: x, run: t, beta: make([]float64, len(x.PKa)+1)}
	for k := range x.PKa {
		d.beta[k+1] = d.beta[k] + x.PKa[len(x.PKa)-1-k]
	}
	for _, c := range x.Complexes {
		i, err := t.path.Component(c.Metal.String())
		if err != nil {
			return nil, err
		}
		if i >= 0 {
			d.metals = append(d.metals, boundDye{i, c})
		}
	}
	return d, nil
}

// Shade is a form of a dye at a point.
type Shade struct {
	Colour string  `json:"colour"`          // that the eye sees
	Metal  string  `json:"metal,omitempty"` // that it is bound to, empty for the free dye
	Share  float64 `json:"share"`           // of all the dye, 0 to 1
}

// Shades returns the colours of the dye at the last point of its titration, by
// falling share. Forms of one colour and metal are added up.
func (d *Dye) Shades() []Shade {
	p := d.p()
	type entry struct {
		Shade
		log float64
	}
	var forms []entry
	for k, b := range d.beta {
		forms = append(forms, entry{Shade{Colour: d.indicator.Colours[len(d.beta)-1-k]}, b - float64(k)*p})
	}
	for _, m := range d.metals {
		pM := d.run.path.PFree(m.component)
		// complexes with more dyes than one do not form with a trace
		forms = append(forms, entry{Shade{Colour: m.Colour, Metal: m.Metal.String()}, m.LogBeta[0] - pM})
	}
	top := math.Inf(-1)
	for _, f := range forms {
		top = max(top, f.log)
	}
	sum := 0.0
	var out []Shade
	for _, f := range forms {
		f.Share = math.Pow(10, f.log-top)
		sum += f.Share
		if i := slices.IndexFunc(out, func(s Shade) bool { return s.Colour == f.Colour && s.Metal == f.Metal }); i >= 0 {
			out[i].Share += f.Share
		} else {
			out = append(out, f.Shade)
		}
	}
	for i := range out {
		out[i].Share /= sum
	}
	slices.SortStableFunc(out, func(a, b Shade) int { return cmp.Compare(b.Share, a.Share) })
	return out
}

// p is the pH that the dye feels.
func (d *Dye) p() float64 {
	if d.indicator.Kind == tables.AcidBase {
		return d.run.path.PH()
	}
	return d.run.path.PConcH()
}

// Bound returns the share of the dye that metals hold at the last point.
func (d *Dye) Bound() float64 {
	r := math.Pow(10, d.logBound())
	if math.IsInf(r, 1) {
		return 1
	}
	return r / (1 + r)
}

// logBound is log10 of bound over free dye.
func (d *Dye) logBound() float64 {
	bound := math.Inf(-1)
	for _, m := range d.metals {
		bound = logAdd(bound, m.LogBeta[0]-d.run.path.PFree(m.component))
	}
	free := math.Inf(-1)
	for k, b := range d.beta {
		free = logAdd(free, b-float64(k)*d.p())
	}
	return bound - free
}

// logAdd is log10 (10^a + 10^b).
func logAdd(a, b float64) float64 {
	if a < b {
		a, b = b, a
	}
	if math.IsInf(b, -1) {
		return a
	}
	return a + math.Log10(1+math.Pow(10, b-a))
}
