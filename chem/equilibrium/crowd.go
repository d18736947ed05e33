package equilibrium

import "math"

// overfull reports whether it is certain that some species of the answer exceeds what water
// holds, and keeps that in w.full. With c at any point, c' in the answer, s_i = ln c'_i/c_i of
// the anchors, and g_i what their balances hold too much in units of the anchor,
//
//	Σ_j (c'_j - c_j) ln(c'_j/c_j) + Σ_i g_i s_i ≤ 0,
//
// equal but for solids that dissolve or form. No species adds less than 0, an anchor with its g
// less |g ln(1 - g/c)| at worst, and each that is crowded here, were it not so in the answer,
// at least what follows from c' = crowded. If these add up to more than 0, one of them is.
func (w *Workspace) overfull() bool {
	const rounding, margin = 1e-6, 1.001 // of sums that decide
	p, b := &w.p, &w.b
	if !b.chosen || w.medium != nil || largest(w.c[:p.species.len()]) <= crowded || w.oversaturated(saturated) >= 0 {
		return false
	}
	sum, loss := 0.0, 0.0
	for _, c := range w.c[:p.species.len()] {
		if c > crowded {
			sum += (c - crowded) * math.Log(c/crowded)
		}
	}
	for i, a := range b.anchor {
		if a == own || a >= solidBase && math.Abs(w.f[i]) > saturated {
			return false
		}
		if a >= solidBase {
			continue
		}
		up, down := w.sides(i)
		c, g := w.c[a], (up-down)/b.lead[i]
		if !(g < c) {
			return false
		}
		if c-max(g, 0) > crowded {
			sum -= g * math.Log(c/crowded)
			continue
		}
		if c > crowded {
			sum -= (c - crowded) * math.Log(c/crowded)
		}
		loss += math.Abs(g * math.Log1p(-g/c))
	}
	if !(sum > margin*loss+rounding) {
		return false
	}
	w.wanted()
	for _, k := range w.active {
		if w.want[k] < 0 {
			return false
		}
	}
	w.full = true
	return true
}
