package equilibrium

import "math"

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
