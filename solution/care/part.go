package care

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// Work is a bath and what goes into it, as far as caution asks.
type Work struct {
	Materials    []string // of the parts, by the names of [tables.Tables.Material]
	PH           float64  // of the bath; 0 for not known
	TemperatureC float64  // of the bath

	HardnessFraction float64 // of the chelant, that hard water holds
}

// Part is what a bath does to a material.
type Part struct {
	Material  string           `json:"material"`
	Asked     string           `json:"asked,omitempty"` // by another name
	Admission tables.Admission `json:"admission"`
	LowPH     float64          `json:"low_ph,omitempty"` // where it may go in, if that is known
	HighPH    float64          `json:"high_ph,omitempty"`
	Metal     string           `json:"metal,omitempty"` // its verdict by equilibrium: see [Metals]
	Is        string           `json:"is"`
	Does      string           `json:"does"`
	Do        string           `json:"do"`
	Sources   []string         `json:"sources"`
}

// Parts tells what the bath does to each of the materials, the strictest first.
func (w Work) Parts(t *tables.Tables) ([]Part, error) {
	var out []Part
	for _, name := range w.Materials {
		m, err := t.Material(name)
		if err != nil {
			return nil, err
		}
		p := Part{m.Name, "", m.Admission, m.LowPH, m.HighPH, m.Couple, m.Is, m.Does, m.Do, m.Sources}
		if asked := strings.ToLower(strings.TrimSuffix(name, "s")); name != m.ID && !strings.Contains(strings.ToLower(m.Name), asked) {
			p.Asked = name
		}
		if w.PH != 0 {
			p.Admission = m.Admits(w.PH)
		}
		if !slices.ContainsFunc(out, func(x Part) bool { return x.Material == p.Material }) {
			out = append(out, p)
		}
	}
	slices.SortStableFunc(out, func(a, b Part) int { return cmp.Compare(b.Admission, a.Admission) })
	return out, nil
}

// Text says in a sentence or two what to do with the material.
func (p Part) Text() string {
	text := p.Material
	switch {
	case spelling(p.Asked, p.Material):
		text = p.Asked
	case p.Asked != "":
		text = fmt.Sprintf("%s (%s)", p.Asked, p.Material)
	}
	text += " " + string(p.Admission)
	if p.HighPH > 0 {
		text += fmt.Sprintf(" (pH %g to %g)", p.LowPH, p.HighPH)
	}
	return strings.ToUpper(text[:1]) + text[1:] + ". " + p.Does + " " + p.Do
}

// spelling reports whether two names are one, but for a letter: [chem.Nearest] takes more for near.
func spelling(a, b string) bool {
	x, y := []rune(strings.ToLower(a)), []rune(strings.ToLower(b))
	for len(x) > 0 && len(y) > 0 && x[0] == y[0] {
		x, y = x[1:], y[1:]
	}
	for len(x) > 0 && len(y) > 0 && x[len(x)-1] == y[len(y)-1] {
		x, y = x[:len(x)-1], y[:len(y)-1]
	}
	return a != "" && len(x) <= 1 && len(y) <= 1
}

// Bake returns the heat that lets hydrogen out of steel of a Rockwell C hardness.
// Softer steel than the tables' softest class needs none and is an error.
func Bake(t *tables.Tables, hrc float64) (tables.Bake, error) {
	classes := slices.Collect(tables.All[tables.Bake](t))
	if len(classes) == 0 {
		return tables.Bake{}, &chem.InputError{Field: "tables", Value: "empty", Want: "classes of baking"}
	}
	if err := chem.Within("Rockwell C hardness", hrc, classes[0].LowHRC, classes[len(classes)-1].HighHRC, ""); err != nil {
		return tables.Bake{}, err
	}
	return classes[slices.IndexFunc(classes, func(b tables.Bake) bool { return hrc <= b.HighHRC })], nil
}
