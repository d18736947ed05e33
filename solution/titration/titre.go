package titration

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/tables"
)

// Aliquot is a volume and what measured it.
type Aliquot struct {
	Volume unit.Volume      // as read
	With   tables.Dispenser // the zero value knows no error
}

func (a Aliquot) ml() float64 { return inML(a.Volume) }

// check refuses a volume of something, least in mL, and its dispenser.
func (a Aliquot) check(of string, least float64) error {
	by, inf := "of what measured "+of, math.Inf(1)
	return cmp.Or(
		chem.Within("volume of "+of, a.ml(), least, mostML, "mL"),
		chem.Within("capacity "+by, a.With.CapacityML, 0, inf, "mL"),
		chem.Within("tolerance "+by, a.With.ToleranceML, 0, inf, "mL"),
		chem.Within("relative limit "+by, a.With.Relative, 0, inf, ""),
		chem.Within("step "+by, a.With.StepML, 0, inf, "mL"),
	)
}

// calibration is the relative standard uncertainty of a volume that does not go
// away by repeating: refilling repeats the same error.
func (a Aliquot) calibration(ml float64) float64 {
	const rounding = 1e-9 // of a filling, lest whole ones count as one more
	d, fillings := a.With, 1.0
	if d.CapacityML > 0 {
		fillings = max(1, math.Ceil(ml/d.CapacityML-rounding))
	}
	return math.Hypot(fillings*d.ToleranceML/ml, d.Relative) / math.Sqrt(3)
}

const (
	mLPerLitre      = 1000
	leastML, mostML = 1e-6, 1e9 // taken or poured: less than any dispenser gives, more than any vessel holds
)

func inML(v unit.Volume) float64 { return float64(v / measure.Millilitre) }

// Titre is a titration that has been done: what was taken and what it took.
//
// With EDTA as titrant its Concentration is the total hardness of a water by the calculation of ISO
// 6059 and ASTM D1126, c(Ca+Mg) = c(EDTA) V(EDTA)/V(sample), and with acid its alkalinity in
// equivalents: see [tables.Hardness] and [tables.Alkalinity]. With calcium at pH 10 it is the
// chelant of a used bath that holds no metal. What holds iron keeps it, if one is quick, see
// [PredictInterference]; what holds calcium and magnesium is not counted, although iron can take
// their place in part: the figure is on the safe side.
type Titre struct {
	Sample    Aliquot     // taken
	Strength  Result      // of the titrant, mol/L of what it takes of the analyte
	Delivered Aliquot     // of titrant, as read; with no volume where drops were counted
	Drops     int         // to the drop that turned the indicator: of the Step of what delivered them
	Blank     unit.Volume // titrant that the same takes without sample
	Bias      Result      // systematic titration error of the endpoint, as [Verdict.RelativeError]
}

const (
	leastStrength, mostStrength = 1e-12, 100 // mol/L: less than a titration can find, more than any solution holds
	mostDrops                   = 1e6
	leastBias, mostBias         = -0.9, 10 // beyond, an endpoint says nothing about equivalence
	meanOfDrop                  = 0.5      // of the drop that turned the indicator, within which the endpoint lies
)

// standardOfReading is that of a place within a step of the burette, in steps: of a
// rectangle of width one (JCGM 100:2008, 4.3.7).
var standardOfReading = 1 / math.Sqrt(12)

// Concentration returns that of the analyte in the sample, mol/L.
func (x Titre) Concentration() (Result, error) {
	if x.Drops > 0 && x.Delivered.Volume != 0 {
		return Result{}, &chem.InputError{Field: "titrant", Value: fmt.Sprintf("%.4g mL and %d drops", x.Delivered.ml(), x.Drops), Want: "one of the two"}
	}
	ml, sample := x.Delivered.ml(), x.Sample.ml()
	if x.Drops > 0 {
		ml = (float64(x.Drops) - meanOfDrop) * x.Delivered.With.StepML
	}
	ml -= inML(x.Blank)
	if err := cmp.Or(
		x.Sample.check("the sample", leastML), x.Delivered.check("the titrant", 0),
		chem.Within("strength of the titrant", x.Strength.Value, leastStrength, mostStrength, "mol/L"),
		chem.Within("uncertainty of the strength", x.Strength.Standard, 0, mostStrength, "mol/L"),
		chem.Within("drops", float64(x.Drops), 0, mostDrops, ""),
		chem.Within("blank", inML(x.Blank), 0, mostML, "mL"),
		chem.Within("titration error", x.Bias.Value, leastBias, mostBias, ""),
		chem.Within("uncertainty of the titration error", x.Bias.Standard, 0, mostBias, ""),
		chem.Within("titrant less blank", ml, leastML, mostML, "mL"),
	); err != nil {
		return Result{}, err
	}
	c := x.Strength.Value * ml / sample / (1 + x.Bias.Value)
	return newResult(c,
		Part{"size of the drop or scale of the burette", c * x.Delivered.calibration(ml)},
		Part{"last drop and reading", c * x.Delivered.With.StepML * standardOfReading / ml},
		Part{"volume of the sample", c * x.Sample.calibration(sample)},
		Part{"strength of the titrant", c * x.Strength.Relative()},
		Part{"endpoint of the indicator", c * x.Bias.Standard / (1 + x.Bias.Value)},
	), nil
}

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
