package equilibrium

import "math"

// lu holds the factors of a matrix with many zeros, by elimination with partial pivoting.
type lu struct {
	n     int
	apart int       // so many first rows and columns meet only the others, with diagonals no smaller than 1
	a     []float64 // n×n row-major, both factors
	perm  []int32
	inv   []float64 // of the pivots
}

// factor factors a in place and returns the smallest pivot, which tells how many digits were
// lost where the rows are of the size of 1; 0 where the matrix is singular.
func (f *lu) factor() (pivot float64) {
	n, a := f.n, f.a
	pivot = math.Inf(1)
	for k := range n {
		at, big, next := k, math.Abs(a[k*n+k]), max(k+1, f.apart)
		if k >= f.apart {
			for i := next; i < n; i++ {
				if v := math.Abs(a[i*n+k]); v > big {
					at, big = i, v
				}
			}
		}
		f.perm[k] = int32(at)
		rk := a[k*n : k*n+n]
		if at != k {
			ra := a[at*n : at*n+n]
			for e := range rk {
				rk[e], ra[e] = ra[e], rk[e]
			}
		}
		if !(big > 0 && big <= math.MaxFloat64) {
			return 0
		}
		if big < pivot {
			pivot = big
		}
		inv := 1 / rk[k]
		f.inv[k] = inv
		for i := next; i < n; i++ {
			ri := a[i*n : i*n+n]
			if ri[k] == 0 {
				continue
			}
			v := ri[k] * inv
			ri[k] = v
			to := ri[next:]
			for e, u := range rk[next:] {
				to[e] -= v * u
			}
		}
	}
	return pivot
}

// solve solves A v = v in place.
func (f *lu) solve(v []float64) {
	n, a := f.n, f.a
	for k, p := range f.perm[:n] {
		v[k], v[p] = v[p], v[k]
	}
	for i := max(1, f.apart); i < n; i++ {
		s := v[i]
		for k, l := range a[i*n : i*n+i] {
			s -= l * v[k]
		}
		v[i] = s
	}
	for i := n - 1; i >= 0; i-- {
		s, next := v[i], max(i+1, f.apart)
		rest := v[next:n]
		for k, u := range a[i*n+next : i*n+n] {
			s -= u * rest[k]
		}
		v[i] = s * f.inv[i]
	}
}

// solveTransposed solves Aᵀ v = v in place.
func (f *lu) solveTransposed(v []float64) {
	n, a := f.n, f.a
	for i := range n {
		v[i] *= f.inv[i]
		for k := max(i+1, f.apart); k < n; k++ {
			v[k] -= a[i*n+k] * v[i]
		}
	}
	for i := n - 1; i >= max(1, f.apart); i-- {
		for k, l := range a[i*n : i*n+i] {
			v[k] -= l * v[i]
		}
	}
	for k := n - 1; k >= 0; k-- {
		p := f.perm[k]
		v[k], v[p] = v[p], v[k]
	}
}
