package solution

import (
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/tables"
)

// Portion is an amount of a reagent to weigh or spoon out.
type Portion struct {
	Reagent       string  `json:"reagent"` // ID in the tables
	Name          string  `json:"name"`
	MassGrams     float64 `json:"mass_g"`                // to weigh out, as sold
	MassLowGrams  float64 `json:"mass_low_g,omitempty"`  // range where it comes from a computation or a spoon; zero if weighed
	MassHighGrams float64 `json:"mass_high_g,omitempty"` // of that
	Spoons        string  `json:"spoons,omitempty"`      // level spoons, or mL and cups of a liquid; empty if none serves
}

// NewPortion measures out a mass of a reagent.
func NewPortion(r tables.Reagent, m unit.Mass) Portion {
	p := Portion{Reagent: r.ID, Name: r.Name, MassGrams: 1000 * float64(m)}
	v := r.Packing().VolumeOf(m)
	spoons, _, err := measure.Spoons(v) // fails without a packing
	if p.Spoons = spoons; err == nil && r.Form == tables.Liquid {
		p.Spoons = measure.FormatVolume(v) + ", " + strings.Replace(spoons, "level ", "", 1)
	}
	return p
}

// Mass returns the mass to weigh out.
func (p Portion) Mass() unit.Mass { return unit.Mass(p.MassGrams / 1000) }

// Text returns the portion as a person measures it: "102 g (about 7 level tablespoons)".
func (p Portion) Text() string {
	text := measure.FormatMass(p.Mass())
	if p.Spoons != "" {
		text += " (" + p.Spoons + ")"
	}
	return text
}
