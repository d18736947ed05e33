package equilibrium

import "math"

// most is the largest coefficient of which relax takes powers: a polynomial of higher
// degree is left to Newton's method.
const most = 7

const (
	enough = 30   // of Newton's steps for a root: what is not found then the whole iteration finds
	nearly = 1e-8 // ln units: Newton's method on all balances goes on from there
)

// relax meets the balances of the unknowns that share no species with one another,
// as a rule the metals, exactly: given the others, each is a polynomial in one
// unknown, with positive coefficients, whose one positive root is soon found.
// What is left to Newton's method is then that much less bent.
func (w *Workspace) relax() {
	p, m := &w.p, &w.p.species
	if !w.b.native || w.sys.largest > most {
		return
	}
	for i, t := range p.t[:p.apart] {
		from, to := p.of(i)
		var a, power [most + 1]float64 // of the polynomial
		degree := 1
		for j := from; j < to; j++ {
			v := int(m.coef[m.start[j]])
			a[v] += float64(v) * w.c[j]
			degree = max(degree, v)
		}
		r := root(t, a[1], a[2])
		power[0] = 1
		for range enough {
			var sum, slope float64
			for v := 1; v <= degree; v++ {
				power[v] = power[v-1] * r
				term := a[v] * power[v]
				sum += term
				slope += float64(v) * term
			}
			if degree <= 2 {
				break // root has it
			}
			off := ratio(sum, t)
			if math.Abs(off) < nearly {
				break
			}
			r *= exp(-sum / slope * off)
		}
		step := ratio(r, 1)
		if !(math.Abs(step)*w.sys.largest < reach) {
			continue // left to Newton's method
		}
		w.x[i] += step
		for j := from; j < to; j++ {
			if c := w.c[j]; c < scarce {
				w.c[j] = w.law(int(j))
			} else {
				w.c[j] = c * power[int(m.coef[m.start[j]])]
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
