package equilibrium

import (
	"cmp"
	"math"
	"slices"

	"example.com/chelation/chem"
)

// Conditions is what one solve is given: constants, and for each component
// either its total or its concentration.
type Conditions struct {
	// LnK is the natural logarithm of each species' formation constant from
	// the components (mol/L). -Inf leaves the species out.
	LnK []float64
	// LnKs is, per solid, the natural logarithm of the ion product at
	// saturation: s·x ≤ LnKs. +Inf switches the solid off. May be nil if the
	// system has no solids.
	LnKs []float64
	// Total is each component's total, mol per litre of solution, the amount
	// in solids included. It may be negative where a component occurs with
	// negative coefficients. A total of exactly 0 removes a component, with
	// all species and solids that contain it, if none of them contains it with
	// a negative coefficient (or all do). Totals that can only be met without
	// some other species, the last of which would never be gone, are
	// infeasible. Totals of held components are not read.
	Total []float64
	// Held marks components whose concentration is given instead of the
	// total; nil holds none.
	Held []bool
	// LnHeld is the natural logarithm of the concentration, mol/L, of each
	// held component; with a [Medium] of its activity, as far as CompZ2 and CompEps
	// there tell the two apart. Read only where Held is true.
	LnHeld []float64
	// Medium, unless nil, has constants that move with ionic strength, which is then found
	// too, in the place of LnK and LnKs.
	Medium *Medium
}

// Result is the answer of one solve. The caller owns it and reuses it; a solve
// gives its slices the right length, allocating only when they are too short.
// After an error its contents are those from before the call.
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

func (r *Result) fit(s *System) {
	r.LnC = fit(r.LnC, s.components)
	r.C = fit(r.C, s.Species())
	r.Solid = fit(r.Solid, s.Solids())
	r.Saturation = fit(r.Saturation, s.Solids())
	r.Total = fit(r.Total, s.components)
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
			return refuse("Total", i, v, "0 or a number of 1e-150 to 1e150")
		}
	}
	return nil
}

// checkConstants refuses constants that no solve can start from.
func (s *System) checkConstants(c *Conditions) error {
	formation := func(field string, v []float64) vector {
		may := func(v float64) bool { return finite(v) || math.IsInf(v, -1) }
		return vector{field, "species", s.Species(), v, may, "a finite number or -Inf"}
	}
	solubility := func(field string, v []float64) vector {
		may := func(v float64) bool { return finite(v) || math.IsInf(v, 1) }
		return vector{field, "solid", s.Solids(), v, may, "a finite number or +Inf"}
	}
	m := c.Medium
	if m == nil {
		return check(formation("LnK", c.LnK), solubility("LnKs", c.LnKs))
	}
	square := func(v float64) bool { return v >= 0 && v < limit }
	const number, positive = "a finite number", "a finite number from 0"
	return cmp.Or(check(
		formation("LnK0", m.LnK0), solubility("LnKs0", m.LnKs0),
		vector{"DZ2", "species", s.Species(), m.DZ2, finite, number}, vector{"DEps", "species", s.Species(), m.DEps, finite, number},
		vector{"DZ2S", "solid", s.Solids(), m.DZ2S, finite, number}, vector{"DEpsS", "solid", s.Solids(), m.DEpsS, finite, number},
		vector{"CompZ2", "component", s.components, m.CompZ2, square, positive}, vector{"CompEps", "component", s.components, m.CompEps, finite, number},
		vector{"Z2", "species", s.Species(), m.Z2, square, positive},
	), chem.Within("A", m.A, 0, limit, ""), chem.Within("B", m.B, 0, limit, ""))
}

// A vector is what a caller passed for n of something, and what each number may be.
type vector struct {
	field, of string
	n         int
	v         []float64
	may       func(v float64) bool // nil: anything, and no slice stands for zeros
	want      string
}

// check refuses the first vector that is not as it may be.
func check(all ...vector) error {
	for _, x := range all {
		if x.may == nil && x.v == nil {
			continue
		}
		if err := miscounted(x.field, len(x.v), x.n, x.of); err != nil {
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
