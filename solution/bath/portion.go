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
	if d := r.Packing(); d.Typical > 0 {
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

// portionJSON is a portion with units in its names.
type portionJSON struct {
	Reagent string  `json:"reagent"` // ID in the tables
	Grams   float64 `json:"mass_g"`
	Low     float64 `json:"mass_low_g,omitempty"`
	High    float64 `json:"mass_high_g,omitempty"`
	Spoons  string  `json:"spoons,omitempty"`
}

// MarshalJSON writes the portion with units in its names.
func (p Portion) MarshalJSON() ([]byte, error) {
	return json.Marshal(portionJSON{p.Reagent.ID, 1000 * float64(p.Mass),
		1000 * float64(p.Range.Low), 1000 * float64(p.Range.High), p.Spoons.Text})
}

// UnmarshalJSON reads what MarshalJSON writes; the reagent is that of the
// standard tables, and the spoons are measured out anew. On an error p is
// unchanged.
func (p *Portion) UnmarshalJSON(data []byte) error {
	var in portionJSON
	if err := json.Unmarshal(data, &in); err != nil {
		return err
	}
	t, err := tables.Standard()
	if err != nil {
		return err
	}
	r, err := t.Reagent(in.Reagent)
	if err != nil {
		return err
	}
	out, err := portion(r, unit.Mass(in.Grams/1000))
	if err != nil {
		return err
	}
	if in.High > 0 {
		out.Range = measure.MassRange{Low: unit.Mass(in.Low / 1000), Typical: out.Mass, High: unit.Mass(in.High / 1000)}
	}
	*p = out
	return nil
}
