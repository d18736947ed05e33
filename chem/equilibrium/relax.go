package equilibrium

import "math"

// relax meets the balances of the unknowns that share no species with one another,
// as a rule the metals, exactly: given the others, each is a polynomial in one
// unknown, with positive coefficients, whose one positive root is soon found.
// What is left to Newton's method is then that much less bent.
func (w *Workspace) relax() {
	p := &w.p
	if !w.b.native {
		return
	}
	m := &p.species
	for i, t := range p.t[:p.apart] {
		species := p.of(i)
		var s1, s2 float64
		high := false
		for _, j := range species {
			switch v := m.coef[m.start[j]]; v {
			case 1:
				s1 += w.c[j]
			case 2:
				s2 += 2 * w.c[j]
			default:
				high = true
			}
		}
		r := root(t, s1, s2)
		for range 30 {
			if !high {
				break
			}
			var a, b float64
			for _, j := range species {
				v := m.coef[m.start[j]]
				c := v * w.c[j] * raise(r, int(v))
				a += c
				b += v * c
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
		for _, j := range species {
			switch v := m.coef[m.start[j]]; {
			case w.c[j] < scarce:
				w.c[j] = w.law(int(j))
			case v == 1:
				w.c[j] *= r
			default:
				w.c[j] *= raise(r, int(v))
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
