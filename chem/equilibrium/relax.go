package equilibrium

import "math"

// relax meets the balances of the unknowns that share no species with one another,
// as a rule the metals, exactly: given the others, each is a polynomial in one
// unknown, with positive coefficients, whose one positive root is soon found.
// What is left to Newton's method is then that much less bent.
func (w *Workspace) relax() {
	p, m := &w.p, &w.p.species
	if !w.b.native {
		return
	}
	for i, t := range p.t[:p.apart] {
		from, to := p.of(i)
		var s1, s2 float64
		high := false
		for j := from; j < to; j++ {
			switch c := w.c[j]; m.coef[m.start[j]] {
			case 1:
				s1 += c
			case 2:
				s2 += 2 * c
			default:
				high = true
			}
		}
		r := root(t, s1, s2)
		for range 30 {
			if !high {
				break
			}
			a, b := s1*r+s2*r*r, s1*r+2*s2*r*r
			low := a
			for j := from; j < to; j++ {
				if v := m.coef[m.start[j]]; v > 2 {
					c := v * w.c[j] * raise(r, int(v))
					a += c
					b += v * c
				}
			}
			if a == low {
				break // the rest is nothing beside it
			}
			off := ratio(a, t)
			r *= exp(-a / b * off)
			high = !(math.Abs(off) < 1e-8)
		}
		step := ratio(r, 1)
		if !(math.Abs(step)*w.sys.largest < reach) {
			continue // left to Newton's method
		}
		w.x[i] += step
		for j := from; j < to; j++ {
			switch c := w.c[j]; {
			case c < scarce:
				w.c[j] = w.law(int(j))
			case m.coef[m.start[j]] == 1:
				w.c[j] = c * r
			default:
				w.c[j] = c * raise(r, int(m.coef[m.start[j]]))
			}
		}
	}
}

// root returns the positive root of s1 r + s2 r² = total, or 1 if there is none.
func root(total, s1, s2 float64) float64 {
	switch {
	case s2 > 0:
		return 2 * total / (s1 + math.Sqrt(s1*s1+4*s2*total))
	case s1 > 0:
		return total / s1
	}
	return 1
}

// raise returns r to a positive whole power.
func raise(r float64, n int) float64 {
	v := r
	for range n - 1 {
		v *= r
	}
	return v
}
