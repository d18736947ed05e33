package equilibrium

import "math"

// descend takes a few damped Newton steps on the convex function φ itself:
// slower from afar than steps on F, but certain to make progress from anywhere. The
// balances are the gradient of φ by the logarithms of the anchors.
func (w *Workspace) descend(steps int) {
	p, b := &w.p, &w.b
	const calm = 4 // ln units that a species may grow in one step
	for range steps {
		w.iterations++
		w.imbalance()
		for i, t := range b.t {
			size := 1 / (w.side[2*i] + w.side[2*i+1] + math.Abs(t.hi))
			w.weight[2*i], w.weight[2*i+1] = size, size
			if w.d[i] = -w.f[i]; b.anchor[i] < solidBase {
				w.d[i] = -w.excess(i) * size
			}
		}
		w.jacobian()
		if w.factored = false; !(w.lu.factor() > 0) {
			return
		}
		d := w.d[:p.n]
		w.lu.solve(d)
		slope := w.slope()
		up := 0.0
		for j := range p.species.len() {
			v := p.species.dot(j, d)
			up = max(up, v, -v/8)
		}
		if !(slope < 0) || math.IsInf(up, 0) {
			return
		}
		alpha := min(1, calm/up)
		copy(w.x0, w.x[:p.n])
		for range 60 {
			w.move(alpha, w.ionic, false)
			s := w.slope()
			if s <= -0.9*slope {
				break
			}
			alpha *= min(0.7, max(0.1, -slope/(s-slope)))
		}
	}
}

// excess returns what is too much in balance i.
func (w *Workspace) excess(i int) float64 {
	t := w.b.t[i].hi
	return w.side[2*i] + max(-t, 0) - (w.side[2*i+1] + max(t, 0))
}

// slope returns the derivative of φ along w.d.
func (w *Workspace) slope() float64 {
	var s float64
	for i, a := range w.b.anchor {
		if a >= solidBase {
			continue
		}
		along := w.d[i]
		if a != own {
			along = w.p.species.dot(int(a), w.d)
		}
		s += w.excess(i) / w.b.lead[i] * along
	}
	return s
}
