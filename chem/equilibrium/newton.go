package equilibrium

import "math"

const (
	tolerance = 1e-13 // relative mass balance aimed at
	promised  = 1e-12 // relative mass balance guaranteed
	maxSteps  = 2000
)

// newton minimises φ from w.x, w.m.
func (w *Workspace) newton() error {
	p := &w.p
	n := p.n
	w.evaluate()
	best := math.Inf(1)
	stall := 0
	for w.iterations = 0; w.iterations < maxSteps; w.iterations++ {
		w.hessian()
		if err := w.direction(); err != nil {
			return err
		}
		// slope of the Lagrangian along d
		slope, big := 0.0, 0.0
		for i := range n {
			slope += w.g[i] * w.d[i]
			big = max(big, math.Abs(w.d[i]))
		}
		res := w.residual()
		if res <= tolerance && big < 1e-9 {
			return nil
		}
		if res <= promised {
			if res < best {
				best = res
			} else if stall++; stall > 3 {
				return nil
			}
		}
		alpha := 1.0
		up := 0.0
		for j := range p.species.len() {
			var v float64
			for e := p.species.start[j]; e < p.species.start[j+1]; e++ {
				v += p.species.coef[e] * w.d[p.species.index[e]]
			}
			up = max(up, v)
		}
		if up > 5 {
			alpha = 5 / up
		}
		copy(w.rhs, w.x)
		for try := 0; ; try++ {
			for i := range n {
				w.x[i] = w.rhs[i] + alpha*w.d[i]
			}
			w.evaluate()
			var s float64
			for i := range n {
				s += w.g[i] * w.d[i]
			}
			if s <= 0.9*math.Abs(slope) || try > 60 || res < 1e-9 {
				break
			}
			alpha *= min(0.7, max(0.1, -slope/(s-slope)))
		}
	}
	return &ComponentError{Component: int(p.comp[w.worst()]), Value: p.t[w.worst()], Err: ErrConvergence}
}

// evaluate computes the species and the gradient of the Lagrangian at w.x, w.m.
func (w *Workspace) evaluate() {
	p := &w.p
	for i := range p.n {
		w.g[i] = -p.t[i]
		w.size[i] = math.Abs(p.t[i])
	}
	m := &p.species
	for j := range m.len() {
		a := p.a[j]
		for e := m.start[j]; e < m.start[j+1]; e++ {
			a += m.coef[e] * w.x[m.index[e]]
		}
		w.c[j] = math.Exp(min(a, 600))
	}
	m.addTo(w.g, w.size, w.c[:m.len()])
	p.solids.addTo(w.g, w.size, w.m[:p.solids.len()])
}

func (w *Workspace) residual() float64 {
	var r float64
	for i := range w.p.n {
		r = max(r, math.Abs(w.g[i])/w.size[i])
	}
	return r
}

func (w *Workspace) worst() int {
	at, r := 0, 0.0
	for i := range w.p.n {
		if v := math.Abs(w.g[i]) / w.size[i]; v > r {
			at, r = i, v
		}
	}
	return at
}

// hessian assembles ν diag(c) νᵀ, lower triangle.
func (w *Workspace) hessian() {
	p := &w.p
	n := p.n
	clear(w.h[:n*n])
	m := &p.species
	for j := range m.len() {
		c := w.c[j]
		for e := m.start[j]; e < m.start[j+1]; e++ {
			row := w.h[int(m.index[e])*n:]
			v := m.coef[e] * c
			for f := m.start[j]; f <= e; f++ {
				row[m.index[f]] += v * m.coef[f]
			}
		}
	}
}

// direction solves the quadratic model with the solids' constraints: step d
// and new amounts m.
func (w *Workspace) direction() error {
	p := &w.p
	n := p.n
	factor(w.chol, w.h, n)
	for i := range n {
		w.d[i] = -w.g[i]
	}
	lower(w.chol, w.d[:n], n)
	k := p.solids.len()
	if k > 0 {
		for a := range k {
			y := w.y[a*n : a*n+n]
			clear(y)
			v := -p.b[a]
			for e := p.solids.start[a]; e < p.solids.start[a+1]; e++ {
				y[p.solids.index[e]] = p.solids.coef[e]
				v += p.solids.coef[e] * w.x[p.solids.index[e]]
			}
			lower(w.chol, y, n)
			for i := range n {
				v += y[i] * w.d[i]
			}
			w.viol[a] = v
		}
		for a := range k {
			for b := range a + 1 {
				var s float64
				for i := range n {
					s += w.y[a*n+i] * w.y[b*n+i]
				}
				w.qp.set(a, b, k, s)
			}
		}
		copy(w.qp.x, w.m[:k])
		if a := w.qp.solve(k, w.viol); a >= 0 {
			return &ComponentError{Component: int(p.solid[a]), Value: w.viol[a], Err: ErrUnbounded}
		}
		for a := range k {
			dm := w.qp.x[a] - w.m[a]
			w.m[a] = w.qp.x[a]
			if dm == 0 {
				continue
			}
			for i := range n {
				w.d[i] -= dm * w.y[a*n+i]
			}
			for e := p.solids.start[a]; e < p.solids.start[a+1]; e++ {
				t := p.solids.coef[e] * dm
				w.g[p.solids.index[e]] += t
				w.size[p.solids.index[e]] += t
			}
		}
	}
	upper(w.chol, w.d[:n], n)
	return nil
}
