package equilibrium

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// sweep meets one balance, or the saturation in its place, after the other, each by its own
// anchor: the convex φ is minimised along one coordinate at a time, which is slow but
// progress from anywhere.
func (w *Workspace) sweep() {
	p, b := &w.p, &w.b
	w.iterations++
	n := p.n
	for i, a := range b.anchor {
		u := b.u[i*n : i*n+n]
		v := w.v[:p.species.len()]
		for j := range v {
			v[j] = p.species.dot(j, u) / b.lead[i]
		}
		var s float64
		if k := int(a - solidBase); k >= 0 {
			s = p.b[k] - p.solids.dot(k, w.x)
		} else {
			s = w.along(v, b.t[i].hi/b.lead[i])
		}
		floats.AddScaled(w.x[:n], s/b.lead[i], u)
		for j, c := range v {
			if c != 0 {
				w.c[j] = w.law(j)
			}
		}
	}
	w.evaluate()
	w.imbalance()
}

// along returns how far the anchor has to move for Σ v c e^(v s) = total.
func (w *Workspace) along(v []float64, total float64) float64 {
	const (
		halvings = 60   // of an interval: more than a float64 has digits
		roughly  = 0.01 // ln units: the next anchor undoes more
	)
	lo, hi, s := math.Inf(-1), math.Inf(1), 0.0
	most := reach / largest(v)
	for range halvings {
		pos, neg := max(-total, 0), max(total, 0)
		var up, down float64
		for j, f := range v {
			if f == 0 {
				continue
			}
			n := math.Abs(f) * w.c[j] * math.Exp(f*s)
			if f > 0 {
				pos += n
				up += f * n
			} else {
				neg += n
				down -= f * n
			}
		}
		r := math.Log(pos / neg)
		switch {
		case math.Abs(r) < roughly:
			return s
		case r > 0:
			hi = s
		case r < 0:
			lo = s
		default:
			return 0
		}
		next := s - min(most, max(-most, r/(up/pos+down/neg)))
		if !(next > lo && next < hi) {
			next = 0.5 * (lo + hi)
		}
		s = next
	}
	return s
}
