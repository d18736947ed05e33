package titration

import (
	"cmp"
	"math"

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
