package equilibrium

import "math"

// root returns the concentration m of an eliminated component: Σ k s_k m^k = total,
// s_k being the sum of its species of coefficient k per unit. Without the terms
// beyond k = 2 the root is explicit, and too large if anything. From there
// Newton's method on the logarithms of both sides, which are convex in ln m,
// comes down to it.
func root(total float64, runs []run, sums []runSum) float64 {
	var s1, s2 float64
	high := false
	for r := range runs {
		switch s := sums[r].s0; runs[r].order {
		case 1:
			s1 += s
		case 2:
			s2 += 2 * s
		default:
			high = true
		}
	}
	var m float64
	switch q := 4 * s2 * total; {
	case q > 1e-17*s1*s1:
		m = 2 * total / (s1 + math.Sqrt(s1*s1+q))
	case s1 > 0:
		m = total / s1
	default:
		m = 1
	}
	for range 100 {
		if !high {
			break
		}
		var a, b float64 // Σ k s_k m^k and Σ k² s_k m^k, first of the higher terms
		for r := range runs {
			if k := runs[r].order; k > 2 {
				v := k * runs[r].times(m) * sums[r].s0
				a += v
				b += k * v
			}
		}
		if s1 > 0 && a <= 1e-17*total {
			break
		}
		a += s1*m + s2*m*m
		b += s1*m + 2*s2*m*m
		off := a/total - 1
		if math.Abs(off) < 1e-3 {
			m *= 1 - a/b*off*(1-0.5*off)
		} else {
			m *= math.Exp(-a / b * math.Log(a/total))
		}
		high = !(math.Abs(off) <= 1e-8)
	}
	return m
}
