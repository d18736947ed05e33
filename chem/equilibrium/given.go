package equilibrium

import "slices"

// given is a copy of the constants that a problem was made from, to tell
// whether they are still the same.
type given struct {
	known    bool
	activity bool
	medium   bool
	a, b     float64
	v        [7][]float64
}

func constantsOf(c *Conditions, m *Medium) (v [7][]float64) {
	if m == nil {
		return [7][]float64{c.LnK, c.LnKs}
	}
	return [7][]float64{m.LnK0, m.LnKs0, m.DZ2, m.DEps, m.DZ2S, m.DEpsS, m.Z2}
}

// same reports whether the constants are those kept. Held activities move with
// more than that, so they count as new.
func (g *given) same(c *Conditions, m *Medium) bool {
	if !g.known || g.medium != (m != nil) || m != nil && (g.a != m.A || g.b != m.B) || c.Activity != g.activity {
		return false
	}
	for i, v := range constantsOf(c, m) {
		if !slices.Equal(v, g.v[i]) {
			return false
		}
	}
	return true
}

func (g *given) keep(c *Conditions, m *Medium) {
	g.known, g.medium, g.activity = true, m != nil, c.Activity
	if m != nil {
		g.a, g.b = m.A, m.B
		g.known = !c.Activity || !slices.Contains(c.Held, true)
	}
	for i, v := range constantsOf(c, m) {
		g.v[i] = append(g.v[i][:0], v...)
	}
}
