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
	return renorm(s, r+d.lo+e)
}

// minus returns d - f likewise.
func (d double) minus(f double) double {
	s, r := twoSum(d.hi, -f.hi)
	return renorm(s, r+d.lo-f.lo)
}

// times returns d·b likewise.
func (d double) times(b float64) double {
	p := d.hi * b
	return renorm(p, math.FMA(d.hi, b, -p)+d.lo*b)
}

// over returns d/b likewise.
func (d double) over(b float64) double {
	q := d.hi / b
	return renorm(q, (math.FMA(-q, b, d.hi)+d.lo)/b)
}

func renorm(s, e float64) double {
	h, l := twoSum(s, e)
	return double{h, l}
}
