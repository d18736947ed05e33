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
	Strength   float64     // of the titrant, mol/L of what it takes of the analyte
	// StrengthStandard is the relative standard uncertainty of Strength.
	StrengthStandard float64
	Delivered        unit.Volume // of titrant, as read; leave 0 where drops were counted
	Drops            int         // to the drop that turned the indicator, with Delivered 0
	With             Dispenser   // burette or drop bottle
	Blank            unit.Volume // titrant that the same takes without sample
	// Bias is the systematic titration error of the endpoint, relative, as
	// [Verdict.RelativeError] has it, and BiasStandard its standard uncertainty.
	Bias, BiasStandard float64
}

const (
	// leastStrength and mostStrength bound a concentration in mol/L: less than a
	// titration can find, more than any solution holds.
	leastStrength, mostStrength = 1e-12, 100
	mostDrops                   = 1e6
	// leastBias and mostBias bound a relative titration error: beyond them an
	// endpoint says nothing about equivalence.
	leastBias, mostBias = -0.9, 10
	meanOfDrop          = 0.5 // of the drop that turned the indicator
)

// standardOfReading is that of a place somewhere within a step of the burette, in
// steps: of a rectangle of width one (JCGM 100:2008, 4.3.7).
var standardOfReading = 1 / math.Sqrt(12)

// volume returns the titrant that the sample took, in mL. The drop that turns an
// indicator holds the endpoint somewhere within it: n drops are n − ½, give or
// take 1/√12 of a drop.
func (x Titre) volume() float64 {
	ml := inML(x.Delivered)
	if x.Drops > 0 {
		ml = (float64(x.Drops) - meanOfDrop) * x.With.StepML
	}
	return ml - inML(x.Blank)
}

func (x Titre) check() error {
	if x.Drops > 0 && x.Delivered != 0 {
		return &chem.InputError{Field: "titrant", Value: fmt.Sprintf("%g mL and %d drops", inML(x.Delivered), x.Drops), Want: "one of the two"}
	}
	for _, c := range []struct {
		field            string
		value, low, high float64
		unit             string
	}{
		{"volume of the sample", inML(x.Sample), leastML, mostML, "mL"},
		{"strength of the titrant", x.Strength, leastStrength, mostStrength, "mol/L"},
		{"relative uncertainty of the titrant", x.StrengthStandard, 0, 1, ""},
		{"drops", float64(x.Drops), 0, mostDrops, ""},
		{"titrant", inML(x.Delivered), 0, mostML, "mL"},
		{"blank", inML(x.Blank), 0, mostML, "mL"},
		{"titration error", x.Bias, leastBias, mostBias, ""},
		{"uncertainty of the titration error", x.BiasStandard, 0, mostBias, ""},
	} {
		if err := chem.Within(c.field, c.value, c.low, c.high, c.unit); err != nil {
			return err
		}
	}
	if err := x.SampleWith.check("the sample's measure"); err != nil {
		return err
	}
	if err := x.With.check("the burette"); err != nil {
		return err
	}
	return chem.Within("titrant less blank", x.volume(), leastML, mostML, "mL")
}

// Concentration returns that of the analyte in the sample, mol/L.
func (x Titre) Concentration() (Result, error) {
	if err := x.check(); err != nil {
		return Result{}, err
	}
	ml, sample := x.volume(), inML(x.Sample)
	c := x.Strength * ml / sample / (1 + x.Bias)
	return newResult(c,
		Part{"size of the drop or scale of the burette", c * x.With.calibration(ml)},
		Part{"last drop and reading", c * x.With.StepML * standardOfReading / ml},
		Part{"volume of the sample", c * x.SampleWith.calibration(sample)},
		Part{"strength of the titrant", c * x.StrengthStandard},
		Part{"endpoint of the indicator", c * x.BiasStandard / (1 + x.Bias)},
	), nil
}

// FreeChelant reads the titre of a sample of bath with a calcium solution as the
// capacity left in the bath.
func (x Titre) FreeChelant(bath unit.Volume) (FreeChelant, error) {
	c, err := x.Concentration()
	if err != nil {
		return FreeChelant{}, err
	}
	return newFreeChelant(c, bath)
}
