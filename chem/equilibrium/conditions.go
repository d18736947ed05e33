package equilibrium

import (
	"math"

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
	// held component (for [Workspace.SolveMedium] with Activity set: of its
	// activity). Read only where Held is true.
	LnHeld []float64
	// Activity says that LnHeld are activities. Only the solves with a
	// [Medium] can tell the two apart; the others refuse it.
	Activity bool
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
	Ionic      float64   // ionic strength, mol/L; only set by solves with a Medium
}

// NewResult returns a result with room for the answers of s.
func (s *System) NewResult() *Result {
	r := new(Result)
	r.fit(s)
	return r
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

// check refuses constants that no solve can start from.
func (s *System) check(c *Conditions, m *Medium) error {
	if m != nil {
		if err := m.check(s); err != nil {
			return err
		}
	} else if err := s.checkConstants("LnK", c.LnK, "LnKs", c.LnKs); err != nil {
		return err
	} else if c.Activity {
		return &chem.InputError{Field: "Activity", Value: "true", Want: "false without a Medium"}
	}
	return nil
}

func (s *System) checkTotals(c *Conditions) error {
	if err := miscounted("Total", len(c.Total), s.components, "component"); err != nil {
		return err
	}
	if c.Held != nil {
		if err := miscounted("Held", len(c.Held), s.components, "component"); err != nil {
			return err
		}
		if err := miscounted("LnHeld", len(c.LnHeld), s.components, "component"); err != nil {
			return err
		}
	}
	for i, v := range c.Total {
		if c.Held != nil && c.Held[i] {
			if h := c.LnHeld[i]; !(math.Abs(h) < limit) {
				return refuse("LnHeld", i, h, "a finite number")
			}
		} else if a := math.Abs(v); !(a < 1/least) || a < least && a > 0 {
			return refuse("Total", i, v, "0 or a number of 1e-150 to 1e150")
		}
	}
	return nil
}

func (s *System) checkConstants(species string, lnK []float64, solids string, lnKs []float64) error {
	if err := miscounted(species, len(lnK), s.Species(), "species"); err != nil {
		return err
	}
	if err := miscounted(solids, len(lnKs), s.Solids(), "solid"); err != nil {
		return err
	}
	for j, v := range lnK {
		if !(v < limit) || v < -limit && !math.IsInf(v, -1) {
			return refuse(species, j, v, "a finite number or -Inf")
		}
	}
	for k, v := range lnKs {
		if !(v > -limit) || v > limit && !math.IsInf(v, 1) {
			return refuse(solids, k, v, "a finite number or +Inf")
		}
	}
	return nil
}

const (
	limit = 1e5    // of logarithms: beyond it nothing chemical is meant
	least = 1e-150 // mol/L: far below one particle in a sea, and its square is still a float64
)
