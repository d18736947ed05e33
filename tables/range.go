package tables

import "fmt"

// Range is a quantity that varies from bag to bag or from reader to reader:
// Low and High hold about nine cases in ten between them, Typical is the
// value to reckon with. The unit is told where the Range is used.
type Range struct {
	Low     float64 `json:"low"`
	Typical float64 `json:"typical"`
	High    float64 `json:"high"`
}

// Times returns the range in a unit 1/factor as large; factor must not be
// negative.
func (r Range) Times(factor float64) Range {
	return Range{r.Low * factor, r.Typical * factor, r.High * factor}
}

// span reads the columns stem_low, stem and stem_high, which must not fall and
// must lie in [low, high].
func (r row) span(stem string, low, high float64) Range {
	x := Range{
		r.number(stem+"_low", low, high),
		r.number(stem, low, high),
		r.number(stem+"_high", low, high),
	}
	if !(x.Low <= x.Typical && x.Typical <= x.High) {
		r.fail(stem, fmt.Sprintf("a value between %s_low = %g and %s_high = %g", stem, x.Low, stem, x.High))
	}
	return x
}
