package equilibrium

import "math"

// nonneg solves the small quadratic programme of one Newton step for the
// amounts x of the solids,
//
//	minimise ½ (x-x₀)ᵀ M (x-x₀) - vᵀ(x-x₀)   subject to x ≥ 0,
//
// where v is the oversaturation that the step without a change of amounts
// would leave and M = S H⁻¹ Sᵀ. It is the dual active-set method of Goldfarb
// and Idnani (Math. Programming 27, 1983, 1), which copes with solids whose
// compositions depend on one another.
type nonneg struct {
	m    []float64 // k×k
	l    []float64 // factor of the active block
	x    []float64
	w, z []float64
	act  []int32
}

func (q *nonneg) init(k int) {
	q.m, q.l = make([]float64, k*k), make([]float64, k*k)
	q.x, q.w, q.z = make([]float64, k), make([]float64, k), make([]float64, k)
	q.act = make([]int32, 0, k+1)
}

func (q *nonneg) set(a, b, k int, v float64) { q.m[a*k+b], q.m[b*k+a] = v, v }

// solve starts at q.x = x₀ ≥ 0 and leaves the answer there. It returns -1, or
// the index of a solid whose constraint contradicts the others.
func (q *nonneg) solve(k int, v []float64) int {
	q.act = q.act[:0]
	w := q.w[:k] // current oversaturation: v - M (x - x₀)
	copy(w, v[:k])
	for a := range k {
		if q.x[a] > 0 {
			q.act = append(q.act, int32(a))
		} else {
			q.x[a] = 0
		}
	}
	for round := 0; round < 20+20*k; round++ {
		// bring the active constraints to equality, dropping what turns negative
		for len(q.act) > 0 {
			if !q.factor(k) {
				// dependent: drop the last
				a := q.act[len(q.act)-1]
				q.act = q.act[:len(q.act)-1]
				q.change(k, w, int(a), -q.x[a])
				q.x[a] = 0
				continue
			}
			for i, a := range q.act {
				q.z[i] = w[a]
			}
			n := len(q.act)
			lower(q.l, q.z, n)
			upper(q.l, q.z, n)
			t, block := 1.0, -1
			for i, a := range q.act {
				if q.x[a]+q.z[i] <= 0 {
					if s := -q.x[a] / q.z[i]; s < t || block < 0 {
						t, block = s, i
					}
				}
			}
			q.move(k, w, t)
			if block < 0 {
				break
			}
			q.drop(block)
		}
		// most violated
		worst, at := 1e-12, -1
		for a := range k {
			if w[a] > worst && !q.active(a) {
				worst, at = w[a], a
			}
		}
		if at < 0 {
			return -1
		}
		if q.act = append(q.act, int32(at)); q.factor(k) {
			continue
		}
		// the new constraint depends on the active ones: exchange
		q.act = q.act[:len(q.act)-1]
		n := len(q.act)
		q.factor(k)
		for i, a := range q.act {
			q.z[i] = -q.m[int(a)*k+at]
		}
		lower(q.l, q.z, n)
		upper(q.l, q.z, n)
		t, block := math.Inf(1), -1
		for i, a := range q.act {
			if q.z[i] < -1e-12 {
				if s := -q.x[a] / q.z[i]; s < t {
					t, block = s, i
				}
			}
		}
		if block < 0 {
			return at
		}
		q.move(k, w, t)
		q.x[at] += t
		q.change(k, w, at, t)
		q.drop(block)
		q.act = append(q.act, int32(at))
	}
	return -1
}

func (q *nonneg) active(a int) bool {
	for _, b := range q.act {
		if int(b) == a {
			return true
		}
	}
	return false
}

func (q *nonneg) drop(i int) {
	q.x[q.act[i]] = 0
	q.act = append(q.act[:i], q.act[i+1:]...)
}

// move adds t·z to the active amounts.
func (q *nonneg) move(k int, w []float64, t float64) {
	for i, a := range q.act {
		q.x[a] += t * q.z[i]
		q.change(k, w, int(a), t*q.z[i])
	}
}

func (q *nonneg) change(k int, w []float64, a int, dx float64) {
	for b := range k {
		w[b] -= q.m[b*k+a] * dx
	}
}

// factor factors the active block; false if it is singular.
func (q *nonneg) factor(k int) bool {
	n := len(q.act)
	for i, a := range q.act {
		for j, b := range q.act[:i+1] {
			v := q.m[int(a)*k+int(b)]
			d := v
			for e := range j {
				v -= q.l[i*n+e] * q.l[j*n+e]
			}
			if i == j {
				if !(v > 1e-13*d) {
					return false
				}
				q.l[i*n+i] = math.Sqrt(v)
			} else {
				q.l[i*n+j] = v / q.l[j*n+j]
			}
		}
	}
	return true
}
