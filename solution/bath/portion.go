package bath

import (
	"encoding/json"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/tables"
)

// Portion is an amount of a reagent to weigh or spoon out.
type Portion struct {
	Reagent tables.Reagent
	Mass    unit.Mass         // to weigh out
	Range   measure.MassRange // where Mass comes from a computation or a spoon; zero if it was weighed
	Spoons  measure.Measured  // the same in level spoons, or poured; empty if the packing is not known
}

// portion measures out a mass of a reagent.
func portion(r tables.Reagent, m unit.Mass) (Portion, error) {
	p := Portion{Reagent: r, Mass: m}
	if d := packing(r); d.Typical > 0 {
		var err error
		if p.Spoons, err = measure.Spoons(d.VolumeOf(m).Typical); err != nil {
			return Portion{}, err
		}
	}
	return p, nil
}

// Text returns the portion as a person measures it: "102 g (about 7 level
// tablespoons)".
func (p Portion) Text() string {
	text := measure.FormatMass(p.Mass)
	if p.Spoons.Text != "" {
		text += " (" + p.Spoons.Text + ")"
	}
	return text
}

// MarshalJSON writes the portion with units in its names.
func (p Portion) MarshalJSON() ([]byte, error) {
	type portion struct {
		Reagent string  `json:"reagent"`
		Grams   float64 `json:"mass_g"`
		Low     float64 `json:"mass_low_g,omitempty"`
		High    float64 `json:"mass_high_g,omitempty"`
		Spoons  string  `json:"spoons,omitempty"`
	}
	return json.Marshal(portion{p.Reagent.ID, 1000 * float64(p.Mass),
		1000 * float64(p.Range.Low), 1000 * float64(p.Range.High), p.Spoons.Text})
}
