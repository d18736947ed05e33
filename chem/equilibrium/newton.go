package equilibrium

import "math"

const (
	tolerance = 1e-12 // relative mass balance guaranteed
	lastStep  = 3e-7  // a Newton step this short leaves its square as the error
	illPivot  = 1e-3  // pivots below this ask for a better frame
)

// equilibrate solves the balances of the free anchors at w.y for the present
// active solids, in at most budget steps, and reports whether it did.
//
// It is Newton's method on F_i = ln P_i - ln N_i, where P_i sums what counts
// positively in balance i and N_i what counts negatively. Where single species
// rule P and N, F is linear in y, however far away the answer is.
func (w *Workspace) equilibrate(budget int) bool {
	f := w.f
	n := f.n
	chosen := math.Inf(1) // largest |F| when the anchors were last chosen
	w.quick = nil
	w.evaluate()
	theta := w.log()
	for ; budget > 0; budget-- {
		w.iterations++
		if n == 0 {
			return true
		}
		pivot := w.jacobian()
		if pivot < illPivot && theta < min(0.3, 0.1*chosen) {
			chosen = theta
			theta = w.rechoose()
			f, n = w.f, w.f.n
			continue
		}
		if !(pivot > 1e-14) {
			return false
		}
		d := w.d[:n]
		for i := range d {
			d[i] = -w.lnRatio[i]
		}
		luSolve(w.jac, w.perm, d, n)
		var big float64
		for _, v := range d {
			big = max(big, math.Abs(v))
		}
		if !(big < 1e4) {
			return false
		}
		alpha := 1.0
		if big > 250 {
			alpha = 250 / big
		}
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
		if theta > tolerance || alpha < 1 {
			continue
		}
		fresh := chosen < 0.01
		if big < lastStep {
			if (fresh || pivot > illPivot && !f.chosen) && (f.native || w.closes(fresh)) {
				return true
			}
			chosen = 0
			theta = w.rechoose()
			f, n = w.f, w.f.n
		}
	}
	return false
}

// rechoose takes the most abundant species as anchors and returns the new
// largest |F|.
func (w *Workspace) rechoose() float64 {
	w.original()
	w.enterAbundant()
	w.locate()
	copy(w.safe, w.y[:w.f.n])
	w.evaluate()
	return w.log()
}

// closes reports whether the balances of the original components are met too:
// elsewhere they are combinations of those just solved. It is strict unless
// there is no fresher frame to try.
func (w *Workspace) closes(fresh bool) bool {
	within := 0.2 * tolerance
	if fresh {
		within = 0.9 * tolerance
	}
	p := &w.p
	sum, size := w.g[:p.n], w.size[:p.n]
	for i, t := range p.t[:p.n] {
		sum[i], size[i] = -t, math.Abs(t)
	}
	p.species.addTo(sum, size, w.c[:p.species.len()])
	w.wanted()
	p.solids.addTo(sum, size, w.want[:p.solids.len()])
	for i, s := range sum {
		if !(math.Abs(s) <= within*size[i]) {
			return false
		}
	}
	return true
}

// solveSet solves for the present active set, starting at w.y. If the fast way
// fails, it returns to where it came from and interleaves steps down the
// convex φ, each of which is progress, until the fast way works.
func (w *Workspace) solveSet() error {
	copy(w.safe, w.y[:w.f.n])
	if w.ready() {
		w.take()
		switch w.hurry(false) {
		case solved:
			if w.land(); w.f.native || w.closes(false) {
				return nil
			}
		case near:
			w.land()
		}
	}
	if w.equilibrate(25) {
		return nil
	}
	w.crowd = 0 // out of a safe point nothing grows beyond reason
	for round := range 12 {
		if round == 4 && w.edge() {
			break
		}
		copy(w.y, w.safe[:w.f.n])
		w.evaluate()
		w.descend(min(4<<round, 256))
		copy(w.safe, w.y[:w.f.n])
		w.log()
		if w.equilibrate(15) {
			return nil
		}
	}
	i, err := w.worst(), ErrConvergence
	if w.edge() {
		err = ErrInfeasible
	}
	return &ComponentError{Component: i, Value: w.p.t[w.p.back[i]], Err: err}
}

// worst returns the component whose balance is furthest off.
func (w *Workspace) worst() int {
	at, big := 0, -1.0
	for i, v := range w.lnRatio[:w.f.n] {
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
	f := w.f
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
		w.lnRatio[i] = r
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
	f := w.f
	n := f.n
	m := &f.species
	jac := w.jac[:n*n]
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

// hessian writes the lower triangle of ν diag(c) νᵀ over the free anchors to h.
func (w *Workspace) hessian(h []float64) {
	n, m := w.f.n, &w.f.species
	clear(h)
	for j := range m.len() {
		c := w.c[j]
		for e := m.start[j]; e < m.start[j+1]; e++ {
			u := m.coef[e] * c
			row := h[int(m.index[e])*n:]
			for g := m.start[j]; g <= e; g++ {
				row[m.index[g]] += u * m.coef[g]
			}
		}
	}
}

// descend takes a few damped Newton steps on the convex function φ itself:
// slower from afar, but certain to make progress from anywhere.
func (w *Workspace) descend(steps int) {
	f := w.f
	n := f.n
	m := &f.species
	for range steps {
		w.iterations++
		h := w.jac[:n*n]
		w.hessian(h)
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
			up = max(up, math.Abs(w.d[i])/8)
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
