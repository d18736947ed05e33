package titration

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
)

// Titre is a titration that has been done: what was taken and what it took.
//
// With EDTA as titrant its Concentration is the total hardness of a water by the
// calculation of ISO 6059 and ASTM D1126, c(Ca+Mg) = c(EDTA) V(EDTA)/V(sample),
// and with acid its alkalinity, c V/V(sample) in equivalents: tables.Hardness and
// tables.Alkalinity of its Value have the shop's units.
type Titre struct {
	Sample     unit.Volume // taken
	SampleWith Dispenser   // by what; the zero value knows no error
	Strength   float64     // of the titrant, mol/L
	// StrengthStandard is the relative standard uncertainty of Strength.
	StrengthStandard float64
	Delivered        unit.Volume // of titrant, as read; leave 0 where drops were counted
	Drops            int         // to the drop that turned the indicator, with Delivered 0
	With             Dispenser   // burette or drop bottle
	Blank            unit.Volume // titrant that the same takes without sample
	Ratio            float64     // moles of analyte to a mole of titrant; 0 is 1
	// Bias is the systematic titration error of the endpoint, relative, as
	// [Verdict.Error] has it, and BiasStandard its standard uncertainty.
	Bias, BiasStandard float64
}

// Volume returns the titrant that the sample took and its standard uncertainty
// from reading. The drop that turns an indicator holds the endpoint somewhere
// within it: n drops are n − ½, give or take 1/√12 of a drop.
func (x Titre) Volume() (v, reading unit.Volume) {
	v = x.Delivered
	if x.Drops > 0 {
		v = unit.Volume(float64(x.Drops)-0.5) * x.With.Step
	}
	return v - x.Blank, x.With.Step / unit.Volume(math.Sqrt(12))
}

func (x Titre) check() error {
	bad := func(field string, value any, want string) error {
		return &chem.InputError{Field: field, Value: fmt.Sprint(value), Want: want}
	}
	between := func(v, low, high float64) bool { return v >= low && v <= high }
	switch {
	case !(x.Sample > 0) || math.IsInf(float64(x.Sample), 0):
		return bad("volume of the sample", fmt.Sprintf("%g mL", float64(x.Sample)*1e6), "a volume above 0")
	case !(x.Strength > 0) || !between(x.Strength, 0, 100):
		return bad("strength of the titrant", fmt.Sprintf("%g mol/L", x.Strength), "a number above 0 to 100 mol/L")
	case !between(x.StrengthStandard, 0, 1):
		return bad("relative uncertainty of the titrant", x.StrengthStandard, "0 to 1")
	case x.Drops < 0 || x.Drops > 1e6:
		return bad("drops", x.Drops, "0 to 1 000 000")
	case x.Drops > 0 && x.Delivered != 0:
		return bad("titrant", fmt.Sprintf("%g mL and %d drops", float64(x.Delivered)*1e6, x.Drops), "one of the two")
	case x.Drops > 0 && !(x.With.Step > 0):
		return bad("size of a drop", fmt.Sprintf("%g mL", float64(x.With.Step)*1e6), "a volume above 0")
	case !(x.Delivered >= 0) || math.IsInf(float64(x.Delivered), 0):
		return bad("titrant", fmt.Sprintf("%g mL", float64(x.Delivered)*1e6), "a volume from 0")
	case !(x.Blank >= 0) || math.IsInf(float64(x.Blank), 0):
		return bad("blank", fmt.Sprintf("%g mL", float64(x.Blank)*1e6), "a volume from 0")
	case !between(x.Ratio, 0, 100):
		return bad("ratio", x.Ratio, "0 to 100")
	case !between(x.Bias, -0.9, 10) || !between(x.BiasStandard, 0, 10):
		return bad("titration error", fmt.Sprintf("%g ± %g", x.Bias, x.BiasStandard), "-0.9 to 10")
	}
	if err := x.SampleWith.check("the sample's measure"); err != nil {
		return err
	}
	if err := x.With.check("the burette"); err != nil {
		return err
	}
	if v, _ := x.Volume(); !(v > 0) {
		return bad("titrant less blank", fmt.Sprintf("%g mL", float64(v)*1e6), "a volume above 0; below a drop nothing is measured")
	}
	return nil
}

// Concentration returns that of the analyte in the sample, mol/L.
func (x Titre) Concentration() (Result, error) {
	if err := x.check(); err != nil {
		return Result{}, err
	}
	v, reading := x.Volume()
	ratio := x.Ratio
	if ratio == 0 {
		ratio = 1
	}
	c := ratio * x.Strength * float64(v/x.Sample) / (1 + x.Bias)
	relative := func(source string, u float64) Part { return Part{source, c * u} }
	return newResult(c,
		relative("size of the drop or scale of the burette", x.With.calibration(v)/float64(v)),
		relative("last drop and reading", float64(reading/v)),
		relative("volume of the sample", x.SampleWith.calibration(x.Sample)/float64(x.Sample)),
		relative("strength of the titrant", x.StrengthStandard),
		relative("endpoint of the indicator", x.BiasStandard/(1+x.Bias)),
	), nil
}
