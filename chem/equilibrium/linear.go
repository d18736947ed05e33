package equilibrium

import "math"

// luFactor factors the n×n row-major matrix in place with partial pivoting and
// reports whether it is regular to working precision.
func luFactor(a []float64, perm []int32, n int) bool {
	ok := true
	for k := range n {
		at, big := k, math.Abs(a[k*n+k])
		for i := k + 1; i < n; i++ {
			if v := math.Abs(a[i*n+k]); v > big {
				at, big = i, v
			}
		}
		perm[k] = int32(at)
		if !(big > 1e-280) || math.IsInf(big, 0) {
			return false
		}
		rk := a[k*n : k*n+n]
		if at != k {
			ra := a[at*n : at*n+n]
			for e := range rk {
				rk[e], ra[e] = ra[e], rk[e]
			}
		}
		inv := 1 / rk[k]
		for i := k + 1; i < n; i++ {
			ri := a[i*n : i*n+n]
			f := ri[k]
			if f == 0 {
				continue
			}
			f *= inv
			ri[k] = f
			for e := k + 1; e < n; e++ {
				ri[e] -= f * rk[e]
			}
		}
	}
	return ok
}

// luSolve solves A v = v in place.
func luSolve(a []float64, perm []int32, v []float64, n int) {
	for k := range n {
		p := perm[k]
		v[k], v[p] = v[p], v[k]
		f := v[k]
		for i := k + 1; i < n; i++ {
			v[i] -= a[i*n+k] * f
		}
	}
	for k := n - 1; k >= 0; k-- {
		s := v[k]
		for e := k + 1; e < n; e++ {
			s -= a[k*n+e] * v[e]
		}
		v[k] = s / a[k*n+k]
	}
}

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

func renorm(s, e float64) double {
	h, l := twoSum(s, e)
	return double{h, l}
}
