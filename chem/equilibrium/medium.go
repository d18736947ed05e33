package equilibrium

import "math"

// A Medium says how constants move with ionic strength I (mol/L) at one
// temperature, in the specific-ion-interaction form of the IUPAC and OECD-NEA
// critical reviews:
//
//	ln K_j(I)  = LnK0_j  + ln10·(DZ2_j·D(I)  − DEps_j·I)
//	ln Ks_k(I) = LnKs0_k + ln10·(DZ2S_k·D(I) − DEpsS_k·I)
//	D(I)       = A√I / (1 + B√I)
//	I          = ½ Σ c_j z_j²
//
// Solids are written as ion products (reactants of precipitation), so that
// DZ2S = Σ s_i z_i² with a sign that makes ln Ks grow with I.
type Medium struct {
	A, B      float64   // Debye-Hückel slope, (L/mol)^½, about 0.51 at 25 °C; B = 1.5 by convention
	LnK0      []float64 // per species, at I = 0; -Inf leaves the species out
	DZ2, DEps []float64 // per species: Σ ν z², products less reactants; interaction difference, L/mol
	LnKs0     []float64 // per solid; +Inf switches it off
	DZ2S      []float64 // per solid
	DEpsS     []float64 // per solid
	Z2        []float64 // per species: charge squared
	CompZ2    []float64 // per component: charge squared, for held activities
	CompEps   []float64 // per component: interaction coefficient, L/mol
}

func (m *Medium) check(s *System) error {
	if err := s.checkConstants("LnK0", m.LnK0, "LnKs0", m.LnKs0); err != nil {
		return err
	}
	for _, f := range []struct {
		name, of string
		v        []float64
		n        int
		low      float64
	}{
		{"DZ2", "species", m.DZ2, s.Species(), -limit}, {"DEps", "species", m.DEps, s.Species(), -limit},
		{"DZ2S", "solid", m.DZ2S, s.Solids(), -limit}, {"DEpsS", "solid", m.DEpsS, s.Solids(), -limit},
		{"CompEps", "component", m.CompEps, s.components, -limit}, {"CompZ2", "component", m.CompZ2, s.components, 0},
		{"Z2", "species", m.Z2, s.Species(), 0},
	} {
		if err := miscounted(f.name, len(f.v), f.n, f.of); err != nil {
			return err
		}
		for i, v := range f.v {
			if !(v >= f.low && v < limit) {
				return refuse(f.name, i, v, "a finite number, a square from 0")
			}
		}
	}
	for _, f := range [...]struct {
		name string
		v    float64
	}{{"A", m.A}, {"B", m.B}} {
		if !(f.v >= 0 && f.v < limit) {
			return refuse(f.name, -1, f.v, "a finite number from 0")
		}
	}
	return nil
}

// D returns the Debye-Hückel term A√I/(1+B√I).
func (m *Medium) D(ionic float64) float64 {
	q := math.Sqrt(ionic)
	return m.A * q / (1 + m.B*q)
}

// Slopes returns dD/dI in L/mol and d²D/dI² in (L/mol)², above I = 0.
func (m *Medium) Slopes(ionic float64) (first, second float64) {
	q := math.Sqrt(ionic)
	b := 1 + m.B*q
	first = m.A / (2 * q * b * b)
	return first, -first * (1 + 3*m.B*q) / (2 * ionic * b)
}

// SolveMedium finds equilibrium and ionic strength together. The constants
// are m's; c.LnK and c.LnKs are not read.
func (w *Workspace) SolveMedium(m *Medium, c *Conditions, r *Result) error {
	return w.solveMedium(m, c, r, firstGuess, false)
}

// SolveMediumFrom is [Workspace.SolveMedium] starting from r, a previous answer.
func (w *Workspace) SolveMediumFrom(m *Medium, c *Conditions, r *Result) error {
	if w.ready() != nil || len(r.LnC) != w.sys.components || !(r.Ionic > 0) {
		return w.SolveMedium(m, c, r)
	}
	return w.solveMedium(m, c, r, r.Ionic, true)
}

const firstGuess = 0.1 // ionic strength, mol/L, to start from

// solveMedium makes ln I one more unknown of Newton's method, with the balance
//
//	ln ½ Σ c z² - ln I = 0,
//
// so that one iteration finds concentrations and ionic strength
// together. To it a species looks as if it contained ∂ ln K_j/∂ ln I of "I".
// The problem with I is no longer convex; where that iteration fails, bisect takes over.
func (w *Workspace) solveMedium(m *Medium, c *Conditions, r *Result, ionic float64, warm bool) error {
	here, err := w.prepare(c, m, ionic, r)
	if err != nil {
		return err
	}
	w.medium = m
	if (!warm || !w.resume(r, here)) && w.cold() != nil {
		w.medium = nil
		if err := w.bisect(m, c); err != nil {
			return err
		}
		if w.ionic > 0 {
			w.medium = m
		}
	}
	return w.report(c, m, r)
}

// bisect finds I as the root of what the answer at I makes of it less I, by
// a secant that is kept between bounds, until it is near enough for the iteration
// with I as an unknown.
func (w *Workspace) bisect(m *Medium, c *Conditions) error {
	lo, hi := 0.0, crowded
	i0, e0, i1 := 0.0, 0.0, firstGuess
	for try := range 200 {
		w.ionic = i1
		w.p.constants(m, i1)
		if err := w.cold(); err != nil {
			return err
		}
		w.medium = m
		e1 := w.own() - i1
		if e1 == -i1 { // no ions at all
			w.medium = nil
			if i1 == 0 {
				return nil
			}
			i1 = 0
			continue
		}
		if w.newton(dash) && w.precipitate(true, false) == nil && w.closes() {
			return nil // from so near
		}
		w.medium, w.ionic = nil, i1
		if math.Abs(e1) <= 1e-13*i1 || hi-lo <= 4e-16*hi {
			return nil
		}
		if e1 > 0 && i1 > 0.9*crowded {
			return &ComponentError{Value: i1 + e1, Err: ErrIonicStrength, Iterations: w.iterations}
		}
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
			next = 0.5 * (lo + hi)
		}
		next = min(next, 3*i1) // far up the constants mean little
		i0, e0, i1 = i1, e1, next
	}
	return &ComponentError{Value: i1, Err: ErrIonicStrength, Iterations: w.iterations}
}
