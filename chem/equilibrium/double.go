package equilibrium

import "math"

// twoSum returns a+b and its rounding error (Knuth).
func twoSum(a, b float64) (s, e float64) {
	s = a + b
	t := s - a
	return s, (a - (s - t)) + (b - t)
}

// double is an unevaluated sum hi+lo of about 32 decimal digits.
type double struct{ hi, lo float64 }

// fma returns d + a·b to double precision of the type.
func (d double) fma(a, b float64) double {
	p := a * b
	e := math.FMA(a, b, -p)
	s, r := twoSum(d.hi, p)
	d.hi, d.lo = twoSum(s, r+d.lo+e)
	return d
}
