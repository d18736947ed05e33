package equilibrium

import "math"

const (
	tolerance = 1e-12 // relative mass balance guaranteed
	lastStep  = 1e-7  // a Newton step this short leaves its square as the error
	maxSteps  = 400
	illPivot  = 1e-3 // pivots below this ask for a better frame
)

// equilibrate solves the balances of the free anchors at w.y for the present
// active solids, in at most budget steps, and reports whether it did.
//
// It is Newton's method on F_i = ln P_i - ln N_i, where P_i sums what counts
// positively in balance i and N_i what counts negatively. Where single species
// rule P and N, F is linear in y, however far away the answer is.
func (w *Workspace) equilibrate(budget int) bool {
	f := &w.f
	n := f.n
	fresh := false
	w.evaluate()
	theta := w.log()
	for ; budget > 0; budget-- {
		w.iterations++
		if n == 0 {
			return true
		}
		pivot := w.jacobian()
		if debug != nil {
			debug(w.iterations, theta, pivot, w.y[:n], w.f.anchor[:n], w.f.t[:n])
		}
		if !(pivot > 1e-14) {
			return false
		}
		d := w.d[:n]
		for i := range d {
			d[i] = -w.F[i]
		}
		luSolve(w.j, w.perm, d, n)
		var big float64
		for _, v := range d {
			big = max(big, math.Abs(v))
		}
		if !(big < 1e4) {
			return false
		}
		alpha := 1.0
		copy(w.y0, w.y[:n])
		old := theta
		for try := 0; ; try++ {
			for i := range d {
				w.y[i] = w.y0[i] + alpha*d[i]
			}
			w.evaluate()
			theta = w.log()
			if theta <= (1-0.1*alpha)*old || theta < 1e-10 {
				break
			}
			if try == 4 {
				copy(w.y, w.y0[:n])
				w.evaluate()
				w.log()
				return false
			}
			alpha *= 0.35
		}
		if alpha == 1 && big < lastStep && theta <= tolerance {
			if pivot > illPivot || fresh {
				return true
			}
			w.reframe(true)
			fresh = true
			n = f.n
			w.evaluate()
			theta = w.log()
		}
	}
	return false
}

// settleSet solves for the present active set by whatever means it takes.
func (w *Workspace) solveSet() error {
	if w.equilibrate(30) {
		return nil
	}
	// abundant species as anchors often suffices
	return w.surely()
}

// surely minimises φ by damped Newton steps, taking to F where that is near.
func (w *Workspace) surely() error {
	for range 100 {
		w.descend()
		w.log()
		if w.equilibrate(20) {
			return nil
		}
	}
	i := w.worst()
	return &ComponentError{Component: i, Value: w.p.t[w.p.back[i]], Err: ErrConvergence}
}

var debug func(...any)

func (w *Workspace) worst() int {
	at, big := 0, -1.0
	for i, v := range w.F[:w.f.n] {
		if v = math.Abs(v); v > big {
			at, big = i, v
		}
	}
	s := w.f.free[at]
	if a := w.f.anchor[s]; a < 0 {
		s = ^a
	}
	return int(w.p.comp[s])
}

// evaluate computes the species and both sides of the balances at w.y.
func (w *Workspace) evaluate() {
	f := &w.f
	m := &f.species
	pos, neg := w.pos[:f.n], w.neg[:f.n]
	for i, t := range f.t[:f.n] {
		pos[i], neg[i] = max(-t, 0), max(t, 0)
	}
	for j := range m.len() {
		a := f.a[j]
		lo, hi := m.start[j], m.start[j+1]
		for e := lo; e < hi; e++ {
			a += m.coef[e] * w.y[m.index[e]]
		}
		c := math.Exp(max(-700, min(a, 600)))
		w.c[j] = c
		for e := lo; e < hi; e++ {
			if v := m.coef[e]; v > 0 {
				pos[m.index[e]] += v * c
			} else {
				neg[m.index[e]] -= v * c
			}
		}
	}
}

// log sets F and returns its largest magnitude.
func (w *Workspace) log() float64 {
	var theta float64
	for i := range w.f.n {
		p, n := w.pos[i], w.neg[i]
		r := (p - n) / n
		if math.Abs(r) < 1e-4 {
			r *= 1 - r*(0.5-r*(1./3-r*0.25))
		} else {
			r = math.Log(p / n)
		}
		w.F[i] = r
		theta = max(theta, math.Abs(r))
		if b := max(p, n) * w.crowd; b > 1 {
			theta = max(theta, math.Log(b))
		}
	}
	return theta
}

// jacobian assembles and factors ∂F/∂y = Σ_j (ν_j∘w) c_j ν_jᵀ with w = 1/P or
// 1/N by the sign of the coefficient, and returns the smallest pivot ratio.
func (w *Workspace) jacobian() float64 {
	f := &w.f
	n := f.n
	m := &f.species
	jac := w.j[:n*n]
	clear(jac)
	for i := range n {
		w.wp[i], w.wn[i] = 1/w.pos[i], 1/w.neg[i]
	}
	for j := range m.len() {
		c := w.c[j]
		lo, hi := m.start[j], m.start[j+1]
		for e := lo; e < hi; e++ {
			i, v := m.index[e], m.coef[e]
			u := v * c
			if v > 0 {
				u *= w.wp[i]
			} else {
				u *= w.wn[i]
			}
			row := jac[int(i)*n : int(i)*n+n]
			for g := lo; g < hi; g++ {
				row[m.index[g]] += u * m.coef[g]
			}
		}
	}
	for i := range n {
		w.rhs[i] = jac[i*n+i]
	}
	if !luFactor(jac, w.perm, n) {
		return 0
	}
	pivot := math.Inf(1)
	for i := range n {
		pivot = min(pivot, math.Abs(jac[i*n+i])/w.rhs[i])
	}
	return pivot
}

// descend takes a few damped Newton steps on the convex function φ itself:
// slower from afar, but certain to make progress from anywhere.
func (w *Workspace) descend() {
	f := &w.f
	n := f.n
	m := &f.species
	for range 4 {
		h := w.j[:n*n]
		clear(h)
		for j := range m.len() {
			c := w.c[j]
			for e := m.start[j]; e < m.start[j+1]; e++ {
				u := m.coef[e] * c
				for g := m.start[j]; g <= e; g++ {
					h[int(m.index[e])*n+int(m.index[g])] += u * m.coef[g]
				}
			}
		}
		factor(h, h, n)
		var slope, up float64
		for i := range n {
			w.g[i] = w.pos[i] - w.neg[i]
			w.d[i] = -w.g[i]
		}
		lower(h, w.d, n)
		upper(h, w.d, n)
		for i := range n {
			slope += w.g[i] * w.d[i]
		}
		for j := range m.len() {
			var v float64
			for e := m.start[j]; e < m.start[j+1]; e++ {
				v += m.coef[e] * w.d[m.index[e]]
			}
			up = max(up, v)
		}
		alpha := 1.0
		if up > 4 {
			alpha = 4 / up
		}
		copy(w.y0, w.y[:n])
		for try := 0; ; try++ {
			for i := range n {
				w.y[i] = w.y0[i] + alpha*w.d[i]
			}
			w.evaluate()
			var s float64
			for i := range n {
				s += (w.pos[i] - w.neg[i]) * w.d[i]
			}
			if s <= -0.9*slope || try > 60 {
				break
			}
			alpha *= min(0.7, max(0.1, -slope/(s-slope)))
		}
	}
}
