package titration

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
)

// Goal is what a titration shall achieve, from which to choose aliquot, titrant
// and burette.
type Goal struct {
	Expected float64 // of the analyte, mol/L: a guess
	Relative float64 // standard uncertainty wanted, relative to the result
	Ratio    float64 // moles of analyte to a mole of titrant; 0 is 1
	// StrengthStandard and Endpoint are the relative standard uncertainties that
	// the titrant and the indicator bring whatever is chosen.
	StrengthStandard, Endpoint float64
}

// Scheme is one choice.
type Scheme struct {
	Sample              unit.Volume `json:"sample_m3"`
	SampleWith          string      `json:"sample_with"`
	StrengthMolPerLitre float64     `json:"strength_mol_per_l"` // of the titrant
	Delivered           unit.Volume `json:"titrant_m3"`         // to expect
	With                string      `json:"with"`
	Steps               int         `json:"steps"`  // drops or marks that is
	Result              Result      `json:"result"` // the expected value, with its uncertainty
	Meets               bool        `json:"meets"`  // the uncertainty wanted
}

// Schemes tries every pipette with every burette and strength (mol/L), each
// pipette at its capacity, and returns those that one filling of the burette can
// do: first those that meet the goal, the least titrant first; then the rest, the
// most certain first. The error wraps [ErrNone] where no choice fits a burette.
func (g Goal) Schemes(pipettes, burettes []Dispenser, strengths ...float64) ([]Scheme, error) {
	for field, v := range map[string]float64{"expected concentration": g.Expected, "relative uncertainty wanted": g.Relative} {
		if !(v > 0) || math.IsInf(v, 0) {
			return nil, &chem.InputError{Field: field, Value: fmt.Sprint(v), Want: "a number above 0"}
		}
	}
	ratio := g.Ratio
	if ratio == 0 {
		ratio = 1
	}
	var out []Scheme
	for _, p := range pipettes {
		for _, b := range burettes {
			for _, strength := range strengths {
				v := unit.Volume(g.Expected/(ratio*strength)) * p.Capacity
				if !(v > 0) || b.Capacity > 0 && v > b.Capacity || v < 3*b.Step {
					continue
				}
				titre := Titre{
					Sample: p.Capacity, SampleWith: p, Strength: strength, StrengthStandard: g.StrengthStandard,
					Delivered: v, With: b, Ratio: g.Ratio, BiasStandard: g.Endpoint,
				}
				r, err := titre.Concentration()
				if err != nil {
					return nil, err
				}
				s := Scheme{
					Sample: p.Capacity, SampleWith: p.Name, StrengthMolPerLitre: strength, Delivered: v, With: b.Name,
					Result: r, Meets: r.Relative() <= g.Relative,
				}
				if b.Step > 0 {
					s.Steps = int(math.Ceil(float64(v / b.Step)))
				}
				out = append(out, s)
			}
		}
	}
	if out == nil {
		return nil, fmt.Errorf("%w: no pipette, burette and strength go together for %.3g mol/L", ErrNone, g.Expected)
	}
	slices.SortStableFunc(out, func(a, b Scheme) int {
		switch {
		case a.Meets && !b.Meets:
			return -1
		case b.Meets && !a.Meets:
			return 1
		case a.Meets:
			return cmp.Or(cmp.Compare(a.Delivered, b.Delivered), cmp.Compare(a.Result.Relative(), b.Result.Relative()))
		}
		return cmp.Compare(a.Result.Relative(), b.Result.Relative())
	})
	return out, nil
}
