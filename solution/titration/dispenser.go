package titration

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
)

// Dispenser is what measures a volume: a burette, a pipette, a syringe, a bottle
// of drops.
//
// Its limits of error are taken as the half widths of rectangular distributions,
// so that a standard uncertainty is the limit over √3 (JCGM 100:2008, 4.3.7).
type Dispenser struct {
	Name      string      `json:"name"`
	Capacity  unit.Volume `json:"capacity_m3"`    // the most that it gives at one filling; 0 is no limit
	Tolerance unit.Volume `json:"tolerance_m3"`   // limit of error of a volume, however large
	Relative  float64     `json:"relative_limit"` // limit of error as a fraction of the volume: of the size of a drop, say
	Step      unit.Volume `json:"step_m3"`        // the smallest addition that can be made and read: a drop, a mark
}

// Burettes are usual ones, from the laboratory's down to the shop's. The limits
// of glass are those of ISO 385 (burettes, from memory); those of syringes of ISO
// 7886-1 (from memory); those of drops are common practice, no source. A
// burette's step is a drop that hangs from its tip.
func Burettes() []Dispenser {
	return []Dispenser{
		{"burette 50 mL class A", 50e-6, 0.05e-6, 0, 0.05e-6},
		{"burette 50 mL class B", 50e-6, 0.10e-6, 0, 0.05e-6},
		{"burette 25 mL class A", 25e-6, 0.03e-6, 0, 0.05e-6},
		{"burette 10 mL class A", 10e-6, 0.02e-6, 0, 0.02e-6},
		{"syringe 10 mL", 10e-6, 0, 0.04, 0.2e-6},
		{"syringe 1 mL", 1e-6, 0, 0.05, 0.01e-6},
		Drops(),
		{"drop bottle, drops counted on a scale", 5e-6, 0, 0.03, 0.05e-6},
	}
}

// Drops is a bottle that gives 20 drops to the millilitre, give or take a fifth:
// common practice, no source. It is worth counting 100 drops on a scale.
func Drops() Dispenser { return Dispenser{"drop bottle", 5e-6, 0, 0.2, 0.05e-6} }

// Pipettes are usual means to take a sample. The limits of glass are those of ISO
// 648 class A (from memory), of a measuring cylinder those of ISO 4788 class B
// (from memory).
func Pipettes() []Dispenser {
	pipette := func(ml, limit float64) Dispenser {
		return Dispenser{fmt.Sprintf("pipette %g mL", ml), unit.Volume(ml * 1e-6), unit.Volume(limit * 1e-6), 0, unit.Volume(ml * 1e-6)}
	}
	return []Dispenser{
		pipette(1, 0.008), pipette(2, 0.010), pipette(5, 0.015), pipette(10, 0.02), pipette(25, 0.03), pipette(50, 0.05), pipette(100, 0.08),
		{"syringe 1 mL", 1e-6, 0, 0.05, 0.01e-6},
		{"syringe 10 mL", 10e-6, 0, 0.04, 0.2e-6},
		{"measuring cylinder 50 mL", 50e-6, 1e-6, 0, 1e-6},
		{"measuring cylinder 100 mL", 100e-6, 1e-6, 0, 1e-6},
	}
}

func (d Dispenser) check(field string) error {
	for _, x := range []struct {
		name  string
		value float64
	}{{"capacity", float64(d.Capacity)}, {"tolerance", float64(d.Tolerance)}, {"relative limit", d.Relative}, {"step", float64(d.Step)}} {
		if !(x.value >= 0) || math.IsInf(x.value, 0) {
			return &chem.InputError{Field: x.name + " of " + field, Value: fmt.Sprint(x.value), Want: "a finite number from 0"}
		}
	}
	return nil
}

// calibration is the standard uncertainty of a volume, in its unit, that does not
// go away by repeating: refilling repeats the same error.
func (d Dispenser) calibration(v unit.Volume) float64 {
	fillings := 1.0
	if d.Capacity > 0 {
		fillings = max(1, math.Ceil(float64(v/d.Capacity)-1e-9))
	}
	return math.Hypot(fillings*float64(d.Tolerance), d.Relative*float64(v)) / math.Sqrt(3)
}
