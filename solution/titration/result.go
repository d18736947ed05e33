package titration

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
)

// Result is a measured value with its standard uncertainty and where that comes
// from (JCGM 100:2008, section 5.1: propagation for independent sources).
type Result struct {
	Value    float64 `json:"value"`
	Standard float64 `json:"standard_uncertainty"` // in the unit of Value
	Parts    []Part  `json:"parts"`                // largest first
}

// Part is what one source contributes to the standard uncertainty.
type Part struct {
	Source   string  `json:"source"`
	Standard float64 `json:"standard_uncertainty"` // in the unit of the result
}

// newResult adds up the parts in quadrature and drops those that are nothing.
func newResult(value float64, parts ...Part) Result {
	r := Result{Value: value}
	sum := 0.0
	for _, p := range parts {
		if p.Standard = math.Abs(p.Standard); p.Standard > 0 {
			r.Parts = append(r.Parts, p)
			sum += p.Standard * p.Standard
		}
	}
	r.Standard = math.Sqrt(sum)
	slices.SortStableFunc(r.Parts, func(a, b Part) int { return cmp.Compare(b.Standard, a.Standard) })
	return r
}

// Relative returns the standard uncertainty over the value, 0 where there is none.
func (r Result) Relative() float64 {
	if r.Standard == 0 {
		return 0
	}
	return r.Standard / math.Abs(r.Value)
}

// Dominant returns the source that contributes most and its share of the variance.
func (r Result) Dominant() (source string, share float64) {
	if len(r.Parts) == 0 {
		return "", 0
	}
	p := r.Parts[0]
	return p.Source, p.Standard * p.Standard / (r.Standard * r.Standard)
}

// Times returns the result in another unit, or of a multiple.
func (r Result) Times(f float64) Result {
	parts := slices.Clone(r.Parts)
	for i := range parts {
		parts[i].Standard *= f
	}
	return newResult(r.Value*f, parts...)
}

// String writes as many digits as the uncertainty leaves, "0.0412 ± 0.0012".
func (r Result) String() string {
	if !(r.Standard > 0) || math.IsInf(r.Standard, 0) {
		return fmt.Sprintf("%.4g", r.Value)
	}
	two, _ := strconv.ParseFloat(strconv.FormatFloat(r.Standard, 'e', 1, 64), 64) // its own output
	digits := max(0, 1-int(math.Floor(math.Log10(two))))
	return fmt.Sprintf("%.*f ± %.*f", digits, r.Value, digits, r.Standard)
}
