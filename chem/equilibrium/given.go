package equilibrium

import "slices"

// given is a copy of the constants that a problem was made from, to tell
// whether they are still the same.
type given struct {
	known bool
	a, b  float64 // -1 without a Medium
	v     [9][]float64
}

func constantsOf(c *Conditions) (a, b float64, v [9][]float64) {
	m := c.Medium
	if m == nil {
		return -1, -1, [9][]float64{c.LnK, c.LnKs}
	}
	return m.A, m.B, [9][]float64{m.LnK0, m.LnKs0, m.DZ2, m.DEps, m.DZ2S, m.DEpsS, m.Z2, m.CompZ2, m.CompEps}
}

// same reports whether the constants are those kept.
func (g *given) same(c *Conditions) bool {
	a, b, all := constantsOf(c)
	same := g.known && a == g.a && b == g.b
	for i, v := range all {
		same = same && slices.Equal(v, g.v[i])
	}
	return same
}

func (g *given) keep(c *Conditions) {
	a, b, all := constantsOf(c)
	g.known, g.a, g.b = true, a, b
	for i, v := range all {
		g.v[i] = append(g.v[i][:0], v...)
	}
}
