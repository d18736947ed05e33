package titration

import (
	"cmp"
	"fmt"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/tables"
)

// Scheme is a choice of aliquot, titrant and burette.
type Scheme struct {
	SampleWith          string  `json:"sample_with"`
	StrengthMolPerLitre float64 `json:"strength_mol_per_l"` // of the titrant
	TitrantML           float64 `json:"titrant_ml"`         // to expect
	With                string  `json:"with"`
	Result              Result  `json:"result"` // the expected value, with its uncertainty
	Meets               bool    `json:"meets"`  // the uncertainty wanted
}

const (
	leastSteps  = 3    // drops or marks that are worth a titration: of three the last is a tenth off
	leastWanted = 1e-9 // a relative uncertainty beyond any titration: standards of mass have 1e-8 or so
)

// Schemes plans the titration of an analyte at some expected concentration, mol/L,
// to a wanted relative standard uncertainty, with every dispenser that serves for
// samples, at its capacity, every one for titrant and every strength (mol/L). Of what
// one filling can do it returns first what meets the wish, the least titrant first;
// then the rest, the most certain first. Bias, blank and the relative uncertainty of
// Strength stand in x. The error wraps [ErrNone] where no choice fits a burette.
func (x Titre) Schemes(expected, wanted float64, dispensers []tables.Dispenser, strengths ...float64) ([]Scheme, error) {
	if err := cmp.Or(chem.Within("expected concentration", expected, leastStrength, mostStrength, "mol/L"), chem.Within("relative uncertainty wanted", wanted, leastWanted, 1, "")); err != nil {
		return nil, err
	}
	relative := x.Strength.Relative()
	var out []Scheme
	for _, p := range dispensers {
		for _, b := range dispensers {
			if p.Serves == "titrant" || b.Serves == "sample" {
				continue
			}
			for _, strength := range strengths {
				x.Sample = Aliquot{unit.Volume(p.CapacityML) * measure.Millilitre, p}
				x.Strength = Result{Value: strength, Standard: strength * relative}
				x.Delivered = Aliquot{unit.Volume(expected/strength*(1+x.Bias.Value))*x.Sample.Volume + x.Blank, b}
				x.Drops = 0
				ml := x.Delivered.ml()
				if !(ml > 0) || b.CapacityML > 0 && ml > b.CapacityML || ml < leastSteps*b.StepML {
					continue
				}
				r, err := x.Concentration()
				if err != nil {
					return nil, err
				}
				out = append(out, Scheme{p.Name, strength, ml, b.Name, r, r.Relative() <= wanted})
			}
		}
	}
	if out == nil {
		return nil, &chem.InputError{Field: "expected concentration", Value: fmt.Sprintf("%.3g mol/L", expected), Want: "one that some pipette, burette and strength can do", Kind: ErrNone}
	}
	slices.SortStableFunc(out, func(a, b Scheme) int {
		if a.Meets && b.Meets && a.TitrantML != b.TitrantML {
			return cmp.Compare(a.TitrantML, b.TitrantML)
		}
		return cmp.Compare(a.Result.Relative(), b.Result.Relative()) // which also puts those that meet it first
	})
	return out, nil
}
