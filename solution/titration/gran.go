package titration

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat"

	"example.com/chelation/chem"
)

// GranKind is a function of volume and reading that is a straight line on one
// side of an equivalence point and vanishes there (G. Gran, Analyst 77 (1952)
// 661). V0 is the volume of the sample, V that of the titrant, p the reading.
type GranKind int

const (
	// GranFalling is (V0+V)·10^−p: before equivalence, for what the titrant takes
	// away and the probe shows: a strong acid, or a metal under a chelant.
	GranFalling GranKind = iota
	// GranWeak is V·10^−p: before equivalence, for a weak acid under a strong
	// base.
	GranWeak
	// GranExcess is (V0+V)·10^p: after equivalence, for strong base in excess
	// shown by pH, or for a chelant by pM where V/(V0+V) hardly moves.
	GranExcess
)

// Reading is a point of a titration as measured.
type Reading struct {
	ML float64 `json:"ml"` // titrant added
	P  float64 `json:"p"`  // pH or pM read
}

// GranLine is a straight line through the values of a Gran function.
type GranLine struct {
	EquivalenceML float64   `json:"equivalence_ml"`          // where it vanishes
	StandardML    float64   `json:"standard_uncertainty_ml"` // of that, from the scatter about the line
	SlopePerML    float64   `json:"slope_per_ml"`            // of the function
	R2            float64   `json:"r2"`                      // how straight: 1 on a line
	Values        []float64 `json:"values"`                  // of the function at the points used
}

// Gran fits the line of a Gran function to readings on one side of an equivalence
// point; which ones to take is the caller's choice, and shows in R2. sampleML is
// V0. It wants at least three readings at two volumes or more.
func Gran(kind GranKind, sampleML float64, readings []Reading) (GranLine, error) {
	if !(sampleML > 0) || math.IsInf(sampleML, 0) {
		return GranLine{}, &chem.InputError{Field: "volume of the sample", Value: fmt.Sprintf("%g mL", sampleML), Want: "a volume above 0"}
	}
	if len(readings) < 3 {
		return GranLine{}, &chem.InputError{Field: "readings", Value: fmt.Sprint(len(readings)), Want: "three or more"}
	}
	var x, y []float64
	top := math.Inf(-1) // powers of ten are taken relative to the largest
	sign := -1.0
	if kind == GranExcess {
		sign = 1
	}
	for i, r := range readings {
		if !(r.ML >= 0) || math.IsInf(r.ML, 0) || math.IsNaN(r.P) || math.IsInf(r.P, 0) {
			return GranLine{}, &chem.InputError{Field: fmt.Sprintf("reading %d", i+1), Value: fmt.Sprintf("%g mL, %g", r.ML, r.P), Want: "a volume from 0 and a finite reading"}
		}
		top = max(top, sign*r.P)
	}
	for _, r := range readings {
		v := sampleML + r.ML
		switch kind {
		case GranWeak:
			v = r.ML
		case GranFalling, GranExcess:
		default:
			return GranLine{}, &chem.InputError{Field: "kind of Gran function", Value: fmt.Sprint(int(kind)), Want: "one of this package's"}
		}
		x = append(x, r.ML)
		y = append(y, v*math.Pow(10, sign*r.P-top))
	}
	a, b := stat.LinearRegression(x, y, nil, false)
	mean, variance := stat.MeanVariance(x, nil)
	if !(variance > 0) || b == 0 || math.IsNaN(b) {
		return GranLine{}, &chem.InputError{Field: "readings", Value: "all at one volume, or without a slope", Want: "readings at several volumes"}
	}
	out := GranLine{EquivalenceML: -a / b, R2: stat.RSquared(x, y, nil, a, b)}
	scatter := 0.0
	for i := range x {
		d := y[i] - a - b*x[i]
		scatter += d * d
	}
	n := float64(len(x))
	scatter = math.Sqrt(scatter / (n - 2))
	// the error of where a line cuts the axis, to first order
	away := out.EquivalenceML - mean
	out.StandardML = scatter / math.Abs(b) * math.Sqrt(1/n+away*away/(variance*(n-1)))
	scale := math.Pow(10, top)
	out.SlopePerML = b * scale
	for _, v := range y {
		out.Values = append(out.Values, v*scale)
	}
	return out, nil
}
