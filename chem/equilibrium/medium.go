package equilibrium

import (
	"math"

	"example.com/chelation/chem"
)

// A Medium says how constants move with ionic strength I (mol/L) at one temperature, in the
// specific-ion-interaction form of the IUPAC and OECD-NEA critical reviews:
//
//	ln K_j(I)  = LnK0_j  + ln10·(DZ2_j·D(I)  − DEps_j·I)
//	ln Ks_k(I) = LnKs0_k + ln10·(DZ2S_k·D(I) − DEpsS_k·I)
//	D(I)       = A√I / (1 + 1.5√I)
//	I          = ½ Σ c_j z_j²
//
// ln I is then one more unknown of Newton's method, with the balance ln ½ Σ c z² - ln I = 0.
// To it a species looks as if it contained ∂ ln K_j/∂ ln I of "I". The problem is no longer
// convex then. Solids are ion products: DZ2S is Σ s_i z_i², by which ln Ks grows with I.
type Medium struct {
	A         float64   // Debye-Hückel slope, (L/mol)^½, about 0.51 at 25 °C
	LnK0      []float64 // per species, at I = 0; -Inf leaves the species out
	DZ2, DEps []float64 // per species: Σ ν z², products less reactants; interaction difference, L/mol
	LnKs0     []float64 // per solid; +Inf switches it off
	DZ2S      []float64 // per solid
	DEpsS     []float64 // per solid
	Z2        []float64 // per species: charge squared
	CompZ2    []float64 // per component: charge squared; 0 where a concentration is held and not an activity
	CompEps   []float64 // per component: interaction coefficient, L/mol; likewise
}

// D returns the Debye-Hückel term, see [chem.DebyeHuckel].
func (m *Medium) D(ionic float64) float64 {
	q := math.Sqrt(ionic)
	return m.A * q / (1 + chem.DebyeHuckelB*q)
}

// Slopes returns dD/dI in L/mol and d²D/dI² in (L/mol)², above I = 0.
func (m *Medium) Slopes(ionic float64) (first, second float64) {
	q := math.Sqrt(ionic)
	b := 1 + chem.DebyeHuckelB*q
	first = m.A / (2 * q * b * b)
	return first, -first * (1 + 3*chem.DebyeHuckelB*q) / (2 * ionic * b)
}

const (
	firstGuess = 0.1   // ionic strength, mol/L, to start from
	doublings  = 200   // of what holds I: more than a float64 has digits and twos
	last       = 0.9   // of what is crowded: further up nothing is looked for
	lastDigit  = 4e-16 // no number to try lies between
	upward     = 3.    // times I in a turn at most: far up the constants mean little
	downward   = 16.   // times below its bound in a turn, squared, while nothing holds it from below
)

// bisect finds I where the iteration with it as an unknown fails, by halving what holds it until
// that works from there: a root finder would go on, each point a solve from nothing.
func (w *Workspace) bisect(m *Medium) error {
	lo, hi, i := 0.0, crowded, firstGuess
	for range doublings {
		w.medium, w.ionic = nil, i
		w.p.constants(m, i)
		if err := w.cold(); err != nil {
			return err
		}
		own := w.own()
		switch {
		case own == i || hi-lo <= lastDigit*hi:
			if own > 0 {
				w.medium = m
			}
			return nil
		case own == 0: // no ions at all
			i = 0
			continue
		case own > i && i > last*crowded:
			return &ComponentError{Value: own, Err: ErrIonicStrength, Iterations: w.iterations}
		}
		if w.medium = m; w.rests(w.imbalance()) {
			return nil // from so near
		}
		if own > i {
			lo = i
		} else {
			hi = i
		}
		i = min(upward*i, math.Sqrt(max(lo, hi/downward)*hi))
	}
	return &ComponentError{Value: i, Err: ErrIonicStrength, Iterations: w.iterations}
}
