package equilibrium

import (
	"fmt"
	"math"
	"slices"
)

// A Medium says how constants move with ionic strength I (mol/L) at one
// temperature, in the specific-ion-interaction form of the IUPAC and OECD-NEA
// critical reviews:
//
//	ln K_j(I)  = LnK0_j  + ln10·(DZ2_j·D(I)  − DEps_j·I)
//	ln Ks_k(I) = LnKs0_k + ln10·(DZ2S_k·D(I) − DEpsS_k·I)
//	D(I)       = A√I / (1 + B√I)
//	I          = Background + ½ Σ c_j z_j²
//
// Solids are written as ion products (reactants of precipitation), so that
// DZ2S = Σ s_i z_i² with a sign that makes ln Ks grow with I.
type Medium struct {
	A, B       float64   // Debye-Hückel slope, (L/mol)^½, about 0.51 at 25 °C; B = 1.5 by convention
	LnK0       []float64 // per species, at I = 0; -Inf leaves the species out
	DZ2, DEps  []float64 // per species: Σ ν z², products less reactants; interaction difference, L/mol
	LnKs0      []float64 // per solid; +Inf switches it off
	DZ2S       []float64 // per solid
	DEpsS      []float64 // per solid
	Z2         []float64 // per species: charge squared
	CompZ2     []float64 // per component: charge squared, for held activities
	CompEps    []float64 // per component: interaction coefficient, L/mol
	Background float64   // mol/L added to I for ions that are no species here
}

func (m *Medium) check(s *System) error {
	const constant, number, square = 0, 1, 2
	for _, f := range []struct {
		name string
		v    []float64
		n    int
		kind int
	}{
		{"LnK0", m.LnK0, s.Species(), constant}, {"LnKs0", m.LnKs0, s.Solids(), constant},
		{"DZ2", m.DZ2, s.Species(), number}, {"DEps", m.DEps, s.Species(), number},
		{"DZ2S", m.DZ2S, s.Solids(), number}, {"DEpsS", m.DEpsS, s.Solids(), number},
		{"CompEps", m.CompEps, s.components, number},
		{"Z2", m.Z2, s.Species(), square}, {"CompZ2", m.CompZ2, s.components, square},
	} {
		if len(f.v) != f.n {
			return &InputError{Field: f.name, Index: -1, Value: float64(len(f.v)), Want: fmt.Sprintf("%d values", f.n)}
		}
		if f.kind == constant {
			continue // held to the rules of Conditions when it is put to use
		}
		for i, v := range f.v {
			if !(math.Abs(v) < limit) {
				return &InputError{Field: f.name, Index: i, Value: v, Want: "a finite number"}
			}
			if f.kind == square && v < 0 {
				return &InputError{Field: f.name, Index: i, Value: v, Want: "a square, not negative"}
			}
		}
	}
	if !(m.A >= 0 && m.A < limit) {
		return &InputError{Field: "A", Index: -1, Value: m.A, Want: "a number from 0"}
	}
	if !(m.B >= 0 && m.B < limit) {
		return &InputError{Field: "B", Index: -1, Value: m.B, Want: "a number from 0"}
	}
	if !(m.Background >= 0 && m.Background < limit) {
		return &InputError{Field: "Background", Index: -1, Value: m.Background, Want: "a number from 0"}
	}
	return nil
}

// D returns the Debye-Hückel term A√I/(1+B√I).
func (m *Medium) D(ionic float64) float64 {
	q := math.Sqrt(ionic)
	return m.A * q / (1 + m.B*q)
}

// slope returns dD/dI.
func (m *Medium) slope(ionic float64) float64 {
	q := math.Sqrt(ionic)
	b := 1 + m.B*q
	return m.A / (2 * q * b * b)
}

// The slopes are the explicit derivatives by I of what the Medium governs.
func (m *Medium) speciesSlope(j int, ionic float64) float64 {
	return math.Ln10 * (m.DZ2[j]*m.slope(ionic) - m.DEps[j])
}

func (m *Medium) solidSlope(k int, ionic float64) float64 {
	return math.Ln10 * (m.DZ2S[k]*m.slope(ionic) - m.DEpsS[k])
}

func (m *Medium) heldSlope(i int, ionic float64) float64 {
	return math.Ln10 * (m.CompZ2[i]*m.slope(ionic) - m.CompEps[i])
}

// atIonic fills w.at with the conditions that hold at one ionic strength.
func (w *Workspace) atIonic(m *Medium, c *Conditions, ionic float64) {
	d, e := math.Ln10*m.D(ionic), math.Ln10*ionic
	for j, v := range m.LnK0 {
		w.lnK[j] = v + m.DZ2[j]*d - m.DEps[j]*e
	}
	for k, v := range m.LnKs0 {
		w.lnKs[k] = v + m.DZ2S[k]*d - m.DEpsS[k]*e
	}
	w.at = Conditions{LnK: w.lnK, LnKs: w.lnKs, Total: c.Total, Held: c.Held, LnHeld: c.LnHeld}
	if c.Held != nil && c.Activity {
		for i, h := range c.Held {
			if h {
				w.lnHeld[i] = c.LnHeld[i] + m.CompZ2[i]*d - m.CompEps[i]*e
			}
		}
		w.at.LnHeld = w.lnHeld
	}
}

func (w *Workspace) checkMedium(m *Medium, c *Conditions) error {
	if err := m.check(w.sys); err != nil {
		return err
	}
	return w.sys.checkTotals(c)
}

// SolveMedium finds equilibrium and ionic strength together. The constants
// are m's; c.LnK and c.LnKs are not read.
func (w *Workspace) SolveMedium(m *Medium, c *Conditions, r *Result) error {
	if err := w.checkMedium(m, c); err != nil {
		return err
	}
	return w.loop(m, c, r, -1)
}

// SolveMediumFrom is [Workspace.SolveMedium] starting from r, a previous answer.
func (w *Workspace) SolveMediumFrom(m *Medium, c *Conditions, r *Result) error {
	if err := w.checkMedium(m, c); err != nil {
		return err
	}
	if len(r.LnC) != w.sys.components || !(r.Ionic > 0) {
		return w.loop(m, c, r, -1)
	}
	return w.loop(m, c, r, r.Ionic)
}

// SolveMediumAt solves at a given ionic strength, mol/L: one solve, no loop.
func (w *Workspace) SolveMediumAt(m *Medium, c *Conditions, ionic float64, r *Result) error {
	if err := w.checkMedium(m, c); err != nil {
		return err
	}
	if !(ionic >= 0 && ionic < limit) {
		return &InputError{Field: "ionic", Index: -1, Value: ionic, Want: "a number from 0"}
	}
	w.atIonic(m, c, ionic)
	if err := w.Solve(&w.at, r); err != nil {
		return err
	}
	r.Ionic = ionic
	return nil
}

// coupled solves for concentrations and ionic strength in one Newton iteration
// on the fast path, starting at ionic strength guess, and reports whether it
// did. With warm set it starts from r.
func (w *Workspace) coupled(m *Medium, c *Conditions, r *Result, guess float64, warm bool) (bool, error) {
	p := &w.p
	own := warm && w.solved && w.medium == m && slices.Equal(r.LnC, w.written)
	w.solved, w.iterations = false, 0
	w.atIonic(m, c, guess)
	if err := w.pose(&w.at); err != nil {
		return false, err
	}
	w.active = w.active[:0]
	clear(w.m)
	if warm {
		if !own {
			for i, k := range p.comp[:p.n] {
				if w.x[i] = r.LnC[k]; !(math.Abs(w.x[i]) < 1e3) {
					return false, nil
				}
			}
		}
		for k, s := range p.solid[:p.solids.len()] {
			if r.Solid[s] > 0 {
				w.m[k] = r.Solid[s]
				w.active = append(w.active, int32(k))
			}
		}
		if len(w.active) > p.n {
			return false, nil
		}
	}
	w.enterFrame()
	for change := 0; change < 6; change++ {
		f := w.f
		if !w.ready() || len(f.set) != len(w.active) || f.n+len(w.active) != p.n {
			return false, nil
		}
		b := &f.fast.border
		w.withBorder(m, c.Activity, guess)
		switch {
		case change == 0 && own && w.quick == f:
		case change == 0 && !warm:
			w.opening()
		default:
			w.locate()
			w.take()
		}
		how := w.hurry(change == 0 && own && w.quick == f)
		b.on = false
		if how != solved {
			f.fast.known = false // the constants have moved
			return false, nil
		}
		w.land()
		guess = b.ionic
		w.atIonic(m, c, guess)
		if err := w.constantsFrom(&w.at); err != nil {
			return false, err
		}
		w.refresh()
		if b.since > 64 { // rid the constants of the rounding they have gathered
			w.exponentials()
			f.fast.valid = true
		}
		if f.fast.known = true; !f.native && !w.closes(false) {
			return false, nil
		}
		if !w.wanted() {
			return false, nil
		}
		copy(w.m, w.want)
		out := int32(-1)
		for _, k := range w.active {
			if w.m[k] < 0 && (out < 0 || w.m[k] < w.m[out]) {
				out = k
			}
		}
		if out >= 0 {
			w.leave(out)
			continue
		}
		if in := w.oversaturated(); in >= 0 {
			if err := w.enter(int32(in)); err != nil {
				return false, nil // the general path will say it better
			}
			continue
		}
		w.original()
		w.report(&w.at, r)
		w.conclude(r)
		w.medium, w.heldActivity, w.ionic = m, c.Activity, guess
		r.Ionic = guess
		return true, nil
	}
	return false, nil
}

// loop finds I = ionic(I).
func (w *Workspace) loop(m *Medium, c *Conditions, r *Result, guess float64) error {
	warm := guess > 0
	if !warm {
		guess = 0.1
	}
	if done, err := w.coupled(m, c, r, guess, warm); done || err != nil {
		return err
	}
	return w.secant(m, c, r, guess, warm)
}

// secant is the general way to I = ionic(I): a safeguarded secant around
// solves at fixed I.
func (w *Workspace) secant(m *Medium, c *Conditions, r *Result, guess float64, warm bool) error {
	q := &w.trial
	q.fit(w.sys)
	if warm {
		copy(q.LnC, r.LnC)
		copy(q.Solid, r.Solid)
	}
	lo, hi := 0.0, math.Inf(1) // the root lies between
	var i0, e0 float64
	steps := 0
	i1 := guess
	for try := 0; try < 200; try++ {
		w.atIonic(m, c, i1)
		var err error
		if warm {
			err = w.SolveFrom(&w.at, q)
		} else {
			err = w.Solve(&w.at, q)
		}
		if err != nil {
			return err
		}
		warm = true
		steps += q.Iterations
		e1 := m.Background - i1 + 0.5*dot(q.C, m.Z2)
		if e1 > 0 {
			lo = i1
		} else {
			hi = i1
		}
		next := i1 + e1
		if try > 0 && e1 != e0 {
			next = i1 - e1*(i1-i0)/(e1-e0)
		}
		if !(next > lo && next < hi) {
			if next = 0.5 * (lo + hi); math.IsInf(hi, 1) {
				next = 2*lo + 1e-9
			}
		}
		if math.Abs(e1) <= 1e-13*i1 || hi < math.MaxFloat64 && hi-lo <= 4e-16*hi || i1 == 0 || next == i1 {
			q.Ionic, q.Iterations = i1, steps
			r.copyFrom(q, w.sys)
			w.heldActivity, w.ionic = c.Activity, i1
			if i1 > 0 {
				w.medium = m
			}
			return nil
		}
		i0, e0, i1 = i1, e1, next
	}
	return &ComponentError{Component: 0, Value: i1, Err: ErrConvergence}
}

func (r *Result) copyFrom(q *Result, s *System) {
	r.fit(s)
	copy(r.LnC, q.LnC)
	copy(r.C, q.C)
	copy(r.Solid, q.Solid)
	copy(r.Saturation, q.Saturation)
	copy(r.Total, q.Total)
	r.Residual, r.Iterations, r.Ionic = q.Residual, q.Iterations, q.Ionic
}
