package titration

import (
	"cmp"
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
)

// GranKind is a function of volume and reading that is a straight line on one
// side of an equivalence point and vanishes there (G. Gran, Analyst 77 (1952)
// 661). V0 is the volume of the sample, V that of the titrant, p the reading.
type GranKind int

// The first two serve before equivalence, the last after it.
const (
	GranFalling GranKind = iota // (V0+V)·10^−p: a strong acid, or a metal under a chelant
	GranWeak                    // V·10^−p: a weak acid under a strong base
	GranExcess                  // (V0+V)·10^p: strong base, or a chelant by pM where V/(V0+V) hardly moves
)

// GranLine is a straight line through the values of a Gran function.
type GranLine struct {
	EquivalenceML float64 `json:"equivalence_ml"`          // where it vanishes
	StandardML    float64 `json:"standard_uncertainty_ml"` // of that, from the scatter about the line
	SlopePerML    float64 `json:"slope_per_ml"`            // of the function
}

// Gran fits the line of a Gran function to three readings or more, at two volumes at
// least, on one side of an equivalence point; how well they are chosen shows in StandardML.
func Gran(kind GranKind, sample unit.Volume, readings []Reading) (GranLine, error) {
	v0, sign := inML(sample), -1.0
	err := cmp.Or(
		chem.Within("volume of the sample", v0, leastML, mostML, "mL"), chem.Within("number of readings", float64(len(readings)), 3, mostPoints, ""),
		chem.Within("kind of Gran function", float64(kind), float64(GranFalling), float64(GranExcess), ""),
	)
	if err != nil {
		return GranLine{}, err
	}
	if kind == GranWeak {
		v0 = 0
	} else if kind == GranExcess {
		sign = 1
	}
	var x, y []float64
	for i, r := range readings {
		if err := r.check(i, 0); err != nil {
			return GranLine{}, err
		}
		x, y = append(x, r.ML), append(y, (v0+r.ML)*math.Pow(10, sign*r.P))
	}
	a, b := stat.LinearRegression(x, y, nil, false)
	mean, variance := stat.MeanVariance(x, nil)
	if !(variance > 0) || b == 0 || math.IsNaN(b) {
		return GranLine{}, &chem.InputError{Field: "set of readings", Value: "at one volume, or without a slope", Want: "readings at several volumes"}
	}
	if a*b > 0 {
		return GranLine{}, fmt.Errorf("%w: the line vanishes at no volume above 0", ErrNone)
	}
	scatter := 0.0
	for i := range x {
		scatter = math.Hypot(scatter, y[i]-a-b*x[i])
	}
	// the error of where a line cuts the axis, to first order
	n, away := float64(len(x)), -a/b-mean
	return GranLine{-a / b, scatter / math.Abs(b) * math.Sqrt((1/n+away*away/(variance*(n-1)))/(n-2)), b}, nil
}

const lowestP, highestP = -3, 100 // that a probe can read: below fuming acid's pH, above the pM of the firmest complex

// check refuses reading i at less than so many mL, or beyond what a probe can read.
func (r Reading) check(i int, least float64) error {
	name := fmt.Sprintf("reading %d", i+1)
	return cmp.Or(chem.Within("volume of "+name, r.ML, least, mostML, "mL"), chem.Within(name, r.P, lowestP, highestP, ""))
}
