package reading

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/root"
	"example.com/chelation/tables"
)

// sight is a reading as the particles see it.
type sight struct {
	low, high  float64 // of the pH that a perfect eye would read so
	spread     float64 // standard deviation of the eye, apart from its bias
	bias       float64 // standard deviation of the bias
	background float64 // chance of this reading if it is gross
	instrument int
	event      int
}

// sight checks a reading. The half width of the tables, which holds nine cases
// in ten, is made of the rounding to the step and a normal error, of which a
// share is a bias.
func (m *Model) sight(r Read) (sight, error) {
	low, high, err := scale(r.Strip, r.Value)
	if err != nil {
		return sight{}, err
	}
	s := EyeError(r.Strip)
	return sight{low: low, high: high, spread: s * math.Sqrt(1-BiasFraction), bias: s * math.Sqrt(BiasFraction), background: r.Strip.Step / (r.Strip.High - r.Strip.Low + r.Strip.Step)}, nil
}

// scale returns the values that round to a reading, open at the ends of the
// scale.
func scale(s tables.Strip, value float64) (low, high float64, err error) {
	if s.Quantity != "pH" {
		return 0, 0, &chem.InputError{Field: "Strip", Value: s.Name, Want: "a strip or meter for pH"}
	}
	if _, _, err := s.Interval(value); err != nil {
		return 0, 0, err
	}
	low, high = value-s.Step/2, value+s.Step/2
	if value == s.Low {
		low = math.Inf(-1)
	}
	if value == s.High {
		high = math.Inf(1)
	}
	return low, high, nil
}

// EyeError returns the standard deviation of the normal error that makes, together
// with rounding, the reading error of a strip.
func EyeError(s tables.Strip) float64 {
	deviation, _ := root.Last(1e-6, s.ReadingError, 0, func(x float64) (bool, error) {
		return within(s.ReadingError, s.Step/2, x) > 0.9, nil
	})
	return deviation
}

// within returns the chance that an even error up to h and a normal one of
// standard deviation s add up to at most x on either side.
func within(x, h, s float64) float64 {
	g := func(t float64) float64 { // integral of the normal distribution function
		t /= s
		return s * (t*distuv.UnitNormal.CDF(t) + math.Exp(-t*t/2)/math.Sqrt(2*math.Pi))
	}
	return (g(x+h)-g(x-h))/h - 1
}

// chance returns the probability of the reading at a pH and a bias, without the
// chance that it is gross.
func (r *sight) chance(pH, bias float64) float64 {
	x := pH + bias
	if a := (r.low - x) / r.spread; a > 0 { // the far tail keeps its digits
		return distuv.UnitNormal.CDF(-a) - distuv.UnitNormal.CDF(-(r.high-x)/r.spread)
	}
	return distuv.UnitNormal.CDF((r.high-x)/r.spread) - distuv.UnitNormal.CDF((r.low-x)/r.spread)
}

// likelihood is chance with the gross ones.
func (r *sight) likelihood(pH, bias float64) float64 {
	return (1-GrossFraction)*r.chance(pH, bias) + GrossFraction*r.background
}
