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

// factor writes the Cholesky factor of the lower triangle of h to l, both n×n
// row-major. A pivot that rounding has eaten is replaced by the smallest one
// that the diagonal still resolves, which shortens the step along it.
func factor(l, h []float64, n int) {
	for i := range n {
		li := l[i*n : i*n+i+1]
		for k := range i {
			lk := l[k*n : k*n+k+1]
			v := h[i*n+k]
			for e := range k {
				v -= li[e] * lk[e]
			}
			li[k] = v / lk[k]
		}
		v := h[i*n+i]
		for _, e := range li[:i] {
			v -= e * e
		}
		if floor := 1e-15 * h[i*n+i]; !(v > floor) {
			v = max(floor, math.SmallestNonzeroFloat64*1e20)
		}
		li[i] = math.Sqrt(v)
	}
}

// lower solves L v = v in place.
func lower(l, v []float64, n int) {
	for i := range n {
		s := v[i]
		for k := range i {
			s -= l[i*n+k] * v[k]
		}
		v[i] = s / l[i*n+i]
	}
}

// upper solves Lᵀ v = v in place.
func upper(l, v []float64, n int) {
	for i := n - 1; i >= 0; i-- {
		v[i] /= l[i*n+i]
		for k := range i {
			v[k] -= l[i*n+k] * v[i]
		}
	}
}
