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
	value     float64
	low, high float64 // of the pH that a perfect eye would read so, open at the ends of the scale
	spread    float64 // standard deviation of the eye, apart from its bias
	bias      float64 // standard deviation of the bias
}

// newSight checks a reading. The half width of the tables, which holds nine cases in ten, is made
// of the rounding to the step and a normal error, of which a share is a bias.
func newSight(r Read) (x sight, err error) {
	s := r.Strip
	if s.Quantity != "pH" || !(s.Step > 0 && s.ReadingError > 0 && s.Low >= 0 && s.High > s.Low && s.High <= 14) {
		return x, &chem.InputError{Field: "strip", Value: s.Name, Want: "a strip or meter for pH"}
	}
	if err := s.Check(r.Value); err != nil {
		return x, err
	}
	e := Misreading(s)
	x = sight{
		value: r.Value,
		low:   r.Value - s.Step/2, high: r.Value + s.Step/2,
		spread: e * math.Sqrt(1-biasFraction), bias: e * math.Sqrt(biasFraction),
	}
	if r.Value == s.Low {
		x.low = math.Inf(-1)
	}
	if r.Value == s.High {
		x.high = math.Inf(1)
	}
	return x, nil
}

// nineCases is the part of the readings that the error of a strip in the tables holds.
const nineCases = 0.9

// Misreading returns the standard deviation of the normal error that makes, together with rounding,
// the reading error of a strip. Half of the variance stays from reading to reading.
func Misreading(s tables.Strip) float64 {
	deviation, _ := root.Last(1e-6, s.ReadingError, 0, func(x float64) (bool, error) {
		return within(s.ReadingError, s.Step/2, x) > nineCases, nil
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

// likelihood returns the probability of the reading at a pH and a bias, unless it is a mistake.
func (r *sight) likelihood(pH, bias float64) float64 {
	a, b := (r.low-pH-bias)/r.spread, (r.high-pH-bias)/r.spread
	if a > 0 { // the far tail keeps its digits
		a, b = -b, -a
	}
	return distuv.UnitNormal.CDF(b) - distuv.UnitNormal.CDF(a)
}
