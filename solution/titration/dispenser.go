package titration

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
)

// Dispenser is what measures a volume: a burette, a pipette, a syringe, a bottle
// of drops.
//
// Its limits of error are taken as the half widths of rectangular distributions,
// so that a standard uncertainty is the limit over √3 (JCGM 100:2008, 4.3.7).
type Dispenser struct {
	Name        string  `json:"name"`
	CapacityML  float64 `json:"capacity_ml"`    // the most that it gives at one filling; 0 is no limit
	ToleranceML float64 `json:"tolerance_ml"`   // limit of error of a volume, however large
	Relative    float64 `json:"relative_limit"` // limit of error as a fraction of the volume: of the size of a drop, say
	StepML      float64 `json:"step_ml"`        // the smallest addition that can be made and read: a drop, a mark
}

// Burettes are usual ones, from the laboratory's down to the shop's. The limits
// of glass are those of ISO 385 (burettes, from memory); those of syringes of ISO
// 7886-1 (from memory); those of drops are common practice, no source: 20 to the
// millilitre, give or take a fifth, so that it is worth counting 100 of them on a
// scale. A burette's step is a drop that hangs from its tip.
func Burettes() []Dispenser {
	return []Dispenser{
		{"burette 50 mL class A", 50, 0.05, 0, 0.05},
		{"burette 50 mL class B", 50, 0.10, 0, 0.05},
		{"burette 25 mL class A", 25, 0.03, 0, 0.05},
		{"burette 10 mL class A", 10, 0.02, 0, 0.02},
		{"syringe 10 mL", 10, 0, 0.04, 0.2},
		{"syringe 1 mL", 1, 0, 0.05, 0.01},
		{"drop bottle", 5, 0, 0.2, 0.05},
		{"drop bottle, drops counted on a scale", 5, 0, 0.03, 0.05},
	}
}

// Pipettes are usual means to take a sample. The limits of glass are those of ISO
// 648 class A (from memory), of a measuring cylinder those of ISO 4788 class B
// (from memory).
func Pipettes() []Dispenser {
	return []Dispenser{
		{"pipette 1 mL", 1, 0.008, 0, 1}, {"pipette 2 mL", 2, 0.010, 0, 2}, {"pipette 5 mL", 5, 0.015, 0, 5}, {"pipette 10 mL", 10, 0.02, 0, 10},
		{"pipette 25 mL", 25, 0.03, 0, 25}, {"pipette 50 mL", 50, 0.05, 0, 50}, {"pipette 100 mL", 100, 0.08, 0, 100},
		{"syringe 1 mL", 1, 0, 0.05, 0.01},
		{"syringe 10 mL", 10, 0, 0.04, 0.2},
		{"measuring cylinder 50 mL", 50, 1, 0, 1},
		{"measuring cylinder 100 mL", 100, 1, 0, 1},
	}
}

// FindDispenser returns the one of [Burettes] and [Pipettes] with that name, in
// whatever case.
func FindDispenser(name string) (Dispenser, error) {
	var names []string
	for _, d := range slices.Concat(Burettes(), Pipettes()) {
		if strings.EqualFold(d.Name, strings.TrimSpace(name)) {
			return d, nil
		}
		if !slices.Contains(names, d.Name) {
			names = append(names, d.Name)
		}
	}
	return Dispenser{}, &chem.InputError{Field: "dispenser", Value: name, Want: "one of " + strings.Join(names, "; ")}
}

// Aliquot is a volume and what measured it.
type Aliquot struct {
	Volume unit.Volume // as read
	With   Dispenser   // the zero value knows no error
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

// rounding keeps a volume of whole fillings from counting as one more.
const rounding = 1e-9

// calibration is the relative standard uncertainty of a volume that does not go
// away by repeating: refilling repeats the same error.
func (d Dispenser) calibration(ml float64) float64 {
	fillings := 1.0
	if d.CapacityML > 0 {
		fillings = max(1, math.Ceil(ml/d.CapacityML-rounding))
	}
	return math.Hypot(fillings*d.ToleranceML/ml, d.Relative) / math.Sqrt(3)
}

const (
	mLPerLitre = 1000
	// leastML and mostML bound a volume that is taken or poured: less than any
	// dispenser gives, more than any vessel holds.
	leastML, mostML = 1e-6, 1e9
)

func inML(v unit.Volume) float64 { return float64(v / measure.Millilitre) }
