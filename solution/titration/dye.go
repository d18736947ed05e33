package titration

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// dye is a trace of an indicator in balance with the solution of a titration, by the
// tables' constants as they are. Acid–base ones are held against pH as a meter reads
// it, metallochromic ones against the concentrations of H⁺ and of free metals.
type dye struct {
	tables.Indicator
	run    *Titration
	metals []int // the component of each of Complexes, −1 where there is none of it

	ml, seen []float64 // places along the curve, and its reading there
	held     string    // the metal that holds most of it at the end, if one does
}

// dye puts an indicator into the titration.
func (t *Titration) dye(x tables.Indicator) (*dye, error) {
	if err := t.ready(); err != nil {
		return nil, err
	}
	if len(x.PKa) == 0 || len(x.Colours) != len(x.PKa)+1 || x.Kind == tables.AcidBase && len(x.Changes) != len(x.PKa) {
		return nil, &chem.InputError{Field: "indicator", Value: x.Name, Want: "one of the tables, with acid constants, colours and changes"}
	}
	d := &dye{Indicator: x, run: t}
	for _, c := range x.Complexes {
		i, err := t.path.Component(c.Metal.String())
		if err != nil {
			return nil, err
		}
		if len(c.LogBeta) == 0 {
			i = -1
		}
		d.metals = append(d.metals, i)
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

// shades are those at the last point. Complexes with more than one dye do not form with a trace.
func (d *dye) shades() []Shade {
	pH := d.run.path.PConcH()
	if d.Kind == tables.AcidBase {
		pH = d.run.path.PH()
	}
	var forms []Shade
	var logs []float64 // of their amounts over that of the bare dye
	add := func(colour, metal string, log10 float64) {
		forms, logs = append(forms, Shade{Colour: colour, Metal: metal}), append(logs, log10*math.Ln10)
	}
	log10 := 0.0
	for k, colour := range slices.Backward(d.Colours) {
		add(colour, "", log10)
		if k > 0 {
			log10 += d.PKa[k-1] - pH
		}
	}
	for k, c := range d.Complexes {
		if i := d.metals[k]; i >= 0 {
			add(c.Colour, c.Metal.String(), c.LogBeta[0]-d.run.path.PFree(i))
		}
	}
	var out []Shade
	all := floats.LogSumExp(logs)
	for k, s := range forms {
		i := slices.IndexFunc(out, func(o Shade) bool { return o.Colour == s.Colour && o.Metal == s.Metal })
		if i < 0 {
			i, out = len(out), append(out, s)
		}
		out[i].Share += math.Exp(logs[k] - all)
	}
	slices.SortStableFunc(out, func(a, b Shade) int { return cmp.Compare(b.Share, a.Share) })
	return out
}

// reading is what the dye's changes are read on, at the last point: pH for an
// acid–base indicator, log10 of free over bound dye for one of metals.
func (d *dye) reading() float64 {
	if d.Kind == tables.AcidBase {
		return d.run.path.PH()
	}
	free, bound := 0.0, 0.0
	for _, s := range d.shades() {
		if s.Metal == "" {
			free += s.Share
		} else {
			bound += s.Share
		}
	}
	return math.Log10(free / bound)
}
