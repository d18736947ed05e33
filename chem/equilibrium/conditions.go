package equilibrium

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.com/chelation/chem"
)

// Conditions is what one solve is given.
type Conditions struct {
	LnK  []float64 // per species: ln of the formation constant from the components (mol/L); -Inf leaves it out
	LnKs []float64 // per solid: ln of the ion product at saturation, s·x ≤ LnKs; +Inf switches it off
	// Total is each component's total, mol per litre of solution, the amount in solids
	// included, negative where negative coefficients ask for it. A total of exactly 0 removes
	// a component, with all species and solids that contain it, if none of them contains it
	// with a negative coefficient (or all do). Totals that can only be met without some
	// other species, the last of which would never be gone, are infeasible.
	Total []float64
	Held  []bool // per component: its concentration is given and not its total; nil holds none
	// LnHeld is ln of the concentration, mol/L, of each held component; with a [Medium] of its
	// activity, as far as CompZ2 and CompEps there tell the two apart.
	LnHeld []float64
	Medium *Medium // unless nil, in the place of LnK and LnKs; the ionic strength is found too
}

// Result is the answer of one solve. The caller owns it and reuses it; after an error its
// contents are those from before the call.
type Result struct {
	LnC        []float64 // per component: ln of its free concentration; -Inf if removed (+Inf if it occurs with negative coefficients only)
	C          []float64 // per species: mol/L
	Solid      []float64 // per solid: mol/L of solution; 0 unless saturated
	Saturation []float64 // per solid: ln(Q/Ks) ≤ 0, exactly 0 where Solid > 0; -Inf if a component is missing, NaN if switched off
	Total      []float64 // per component: recomputed total with solids; for a held component the implied one
	Residual   float64   // largest |ΣνC - T| over Σ|νC| + |T|, all components
	Iterations int       // Newton steps, summed over the loop on I
	Ionic      float64   // ionic strength, mol/L; 0 without a Medium
}

func fit[T any](v []T, n int) []T {
	if cap(v) < n {
		return make([]T, n)
	}
	return v[:n]
}

// checkTotals refuses totals and held concentrations that no solve can start from.
func (s *System) checkTotals(c *Conditions) error {
	err := miscounted("Total", len(c.Total), s.components, "component")
	if c.Held != nil {
		err = cmp.Or(err, miscounted("Held", len(c.Held), s.components, "component"), miscounted("LnHeld", len(c.LnHeld), s.components, "component"))
	}
	if err != nil {
		return err
	}
	for i, v := range c.Total {
		if c.Held != nil && c.Held[i] {
			if h := c.LnHeld[i]; !finite(h) {
				return refuse("LnHeld", i, h, "a finite number")
			}
		} else if a := math.Abs(v); !(a < 1/least) || a < least && a > 0 {
			return &chem.InputError{Field: fmt.Sprintf("Total[%d]", i), Value: fmt.Sprintf("%.6g", v), Want: "0 or a number of 1e-150 to 1e150",
				Kind: &ComponentError{Component: i, Value: v, Err: ErrInfeasible}}
		}
	}
	return nil
}

// checkConstants refuses constants that no solve can start from.
func (s *System) checkConstants(c *Conditions) error {
	square := func(v float64) bool { return v >= 0 && v < limit }
	below := func(v float64) bool { return finite(v) || math.IsInf(v, -1) }
	above := func(v float64) bool { return finite(v) || math.IsInf(v, 1) }
	const number, positive = "a finite number", "a finite number from 0"
	lnK, lnKs := vector{"LnK", "species", c.LnK, below, number + " or -Inf"}, vector{"LnKs", "solid", c.LnKs, above, number + " or +Inf"}
	m := c.Medium
	if m == nil {
		return s.check(lnK, lnKs)
	}
	lnK.field, lnK.v, lnKs.field, lnKs.v = "LnK0", m.LnK0, "LnKs0", m.LnKs0
	return cmp.Or(s.check(lnK, lnKs,
		vector{"DZ2", "species", m.DZ2, finite, number}, vector{"DEps", "species", m.DEps, finite, number},
		vector{"DZ2S", "solid", m.DZ2S, finite, number}, vector{"DEpsS", "solid", m.DEpsS, finite, number},
		vector{"CompZ2", "component", m.CompZ2, square, positive}, vector{"CompEps", "component", m.CompEps, finite, number},
		vector{"Z2", "species", m.Z2, square, positive},
	), chem.Within("A", m.A, 0, limit, ""))
}

// A vector is what a caller passed for each of something, and what its numbers may be.
type vector struct {
	field, of string
	v         []float64
	may       func(v float64) bool // nil: anything, and no slice stands for zeros
	want      string
}

// check refuses the first vector that is not as it may be.
func (s *System) check(all ...vector) error {
	counts := map[string]int{"component": s.components, "species": s.species.len(), "solid": s.solids.len()}
	for _, x := range all {
		if x.may == nil && x.v == nil {
			continue
		}
		if err := miscounted(x.field, len(x.v), counts[x.of], x.of); err != nil {
			return err
		}
		if i := slices.IndexFunc(x.v, func(v float64) bool { return x.may != nil && !x.may(v) }); i >= 0 {
			return refuse(x.field, i, x.v[i], x.want)
		}
	}
	return nil
}

func finite(v float64) bool { return math.Abs(v) < limit }

const (
	limit = 1e5    // of logarithms: beyond it nothing chemical is meant
	least = 1e-150 // mol/L: far below one particle in a sea, and its square is still a float64
)

// given is a copy of the constants that a problem was made from.
type given struct {
	a float64 // -1 without a Medium, NaN for none
	v [9][]float64
}

func constantsOf(c *Conditions) (a float64, v [9][]float64) {
	m := c.Medium
	if m == nil {
		return -1, [9][]float64{c.LnK, c.LnKs}
	}
	return m.A, [9][]float64{m.LnK0, m.LnKs0, m.DZ2, m.DEps, m.DZ2S, m.DEpsS, m.Z2, m.CompZ2, m.CompEps}
}

func (g *given) same(c *Conditions) bool {
	a, all := constantsOf(c)
	same := a == g.a
	for i, v := range all {
		same = same && slices.Equal(v, g.v[i])
	}
	return same
}

func (g *given) keep(c *Conditions) {
	a, all := constantsOf(c)
	g.a = a
	for i, v := range all {
		g.v[i] = append(g.v[i][:0], v...)
	}
}
