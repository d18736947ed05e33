package equilibrium

import "math"

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

func fit(v []float64, n int) []float64 {
	if cap(v) < n {
		return make([]float64, n)
	}
	return v[:n]
}

func (s *System) check(c *Conditions) error {
	if len(c.LnK) != s.Species() {
		return &InputError{Field: "LnK", Index: -1, Value: float64(len(c.LnK)), Want: "one value per species"}
	}
	if len(c.LnKs) != s.Solids() {
		return &InputError{Field: "LnKs", Index: -1, Value: float64(len(c.LnKs)), Want: "one value per solid"}
	}
	for j, v := range c.LnK {
		if !(v < limit) || v < -limit && !math.IsInf(v, -1) {
			return &InputError{Field: "LnK", Index: j, Value: v, Want: "a finite number or -Inf"}
		}
	}
	for k, v := range c.LnKs {
		if !(v > -limit) || v > limit && !math.IsInf(v, 1) {
			return &InputError{Field: "LnKs", Index: k, Value: v, Want: "a finite number or +Inf"}
		}
	}
	return s.checkTotals(c)
}

func (s *System) checkTotals(c *Conditions) error {
	if len(c.Total) != s.components {
		return &InputError{Field: "Total", Index: -1, Value: float64(len(c.Total)), Want: "one value per component"}
	}
	if c.Held != nil {
		if len(c.Held) != s.components {
			return &InputError{Field: "Held", Index: -1, Value: float64(len(c.Held)), Want: "one value per component, or nil"}
		}
		if len(c.LnHeld) != s.components {
			return &InputError{Field: "LnHeld", Index: -1, Value: float64(len(c.LnHeld)), Want: "one value per component"}
		}
	}
	for i, v := range c.Total {
		if c.Held != nil && c.Held[i] {
			if h := c.LnHeld[i]; !(math.Abs(h) < limit) {
				return &InputError{Field: "LnHeld", Index: i, Value: h, Want: "a finite number"}
			}
		} else if !(math.Abs(v) < 1e150) {
			return &InputError{Field: "Total", Index: i, Value: v, Want: "a finite number below 1e150"}
		}
	}
	return nil
}

// limit bounds logarithms: beyond it nothing chemical is meant.
const limit = 1e5
