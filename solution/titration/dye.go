package titration

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// dye is an indicator in the solution of a titration, as a trace: its forms are
// in balance with the solution and take nothing from it.
//
// The constants are those of the tables, for the temperature and ionic strength
// that they were measured at. Acid–base indicators are held against pH as a meter
// reads it, metallochromic ones against the concentrations of H⁺ and of free
// metals.
type dye struct {
	tables.Indicator
	run    *Titration
	beta   []float64 // log10 of the form with so many protons beyond the bare one
	metals []boundDye
}

// boundDye is what a metal makes with the bare dye.
type boundDye struct {
	component int
	tables.IndicatorComplex
}

// dye puts an indicator into the titration.
func (t *Titration) dye(x tables.Indicator) (*dye, error) {
	if err := t.ready(); err != nil {
		return nil, err
	}
	if len(x.PKa) == 0 || len(x.Colours) != len(x.PKa)+1 || x.Kind == tables.AcidBase && len(x.Changes) != len(x.PKa) {
		return nil, &chem.InputError{Field: "indicator", Value: x.Name, Want: "one of the tables, with acid constants, colours and changes"}
	}
	d := &dye{Indicator: x, run: t, beta: make([]float64, len(x.PKa)+1)}
	for k := range x.PKa {
		d.beta[k+1] = d.beta[k] + x.PKa[len(x.PKa)-1-k]
	}
	for _, c := range x.Complexes {
		i, err := t.path.Component(c.Metal.String())
		if err != nil {
			return nil, err
		}
		if i >= 0 && len(c.LogBeta) > 0 {
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

// Shades returns the colours of a trace of indicator after a volume of titrant, by
// falling share. Forms of one colour and metal are added up.
func (t *Titration) Shades(x tables.Indicator, v unit.Volume) ([]Shade, error) {
	d, err := t.dye(x)
	if err != nil {
		return nil, err
	}
	if _, err := t.At(v); err != nil {
		return nil, err
	}
	return d.shades(), nil
}

// shades are those at the last point.
func (d *dye) shades() []Shade {
	var out []Shade
	var logs []float64 // of each, relative to the bare dye
	add := func(colour, metal string, log float64) {
		if i := slices.IndexFunc(out, func(s Shade) bool { return s.Colour == colour && s.Metal == metal }); i >= 0 {
			logs[i] = logSum(logs[i], log)
			return
		}
		out, logs = append(out, Shade{Colour: colour, Metal: metal}), append(logs, log)
	}
	p := d.p()
	for k, b := range d.beta {
		add(d.Colours[len(d.beta)-1-k], "", b-float64(k)*p)
	}
	for _, m := range d.metals {
		// complexes with more dyes than one do not form with a trace
		add(m.Colour, m.Metal.String(), m.LogBeta[0]-d.run.path.PFree(m.component))
	}
	all := logSum(logs...)
	for i := range out {
		out[i].Share = math.Pow(10, logs[i]-all)
	}
	slices.SortStableFunc(out, func(a, b Shade) int { return cmp.Compare(b.Share, a.Share) })
	return out
}

// p is the pH that the dye feels.
func (d *dye) p() float64 {
	if d.Kind == tables.AcidBase {
		return d.run.path.PH()
	}
	return d.run.path.PConcH()
}

// reading is what the dye's changes are read on, at the last point: pH for an
// acid–base indicator, log10 of free over bound dye for one of metals.
func (d *dye) reading() float64 {
	p := d.p()
	if d.Kind == tables.AcidBase {
		return p
	}
	var bound, free []float64
	for _, m := range d.metals {
		bound = append(bound, m.LogBeta[0]-d.run.path.PFree(m.component))
	}
	for k, b := range d.beta {
		free = append(free, b-float64(k)*p)
	}
	return logSum(free...) - logSum(bound...)
}

// logSum is log10 of a sum of powers of ten, −Inf of none.
func logSum(logs ...float64) float64 {
	top := math.Inf(-1)
	for _, x := range logs {
		top = max(top, x)
	}
	if math.IsInf(top, -1) {
		return top
	}
	sum := 0.0
	for _, x := range logs {
		sum += math.Pow(10, x-top)
	}
	return top + math.Log10(sum)
}
