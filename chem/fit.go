package chem

import (
	"math"
	"slices"
	"strconv"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// Quantity is what an observation reports.
type Quantity string

// The quantities.
const (
	Log10K   Quantity = "log K"    // log10 of the concentration quotient
	Enthalpy Quantity = "enthalpy" // enthalpy of reaction, J/mol
)

// Observation is one published log10 K or enthalpy, with the conditions it holds under.
type Observation struct {
	Quantity                 Quantity `json:"quantity"`    // what Value is; log10 K if empty
	Value                    float64  `json:"value"`       // as published: log10 K, or J/mol
	Uncertainty              float64  `json:"uncertainty"` // standard uncertainty, same unit; 0 if none was given
	TemperatureC             float64  `json:"temperature_c"`
	IonicStrengthMolPerLitre float64  `json:"ionic_strength_mol_per_l"`
	Medium                   string   `json:"medium"` // background salt, as the source names it
	Used                     bool     `json:"used"`   // whether the fit rests on it
	Shift                    float64  `json:"shift"`  // added to Value before the fit, for side reactions with the medium
	Source                   string   `json:"source"` // key of the citation
	Note                     string   `json:"note"`
	Residual                 float64  `json:"residual"` // Value + Shift less what the constant says, set by [Fit] also where not used
}

// Prior is what one expects of a reaction of its kind; it stands in for what data leave open.
type Prior struct {
	DeltaH       float64 `json:"reaction_enthalpy_j_per_mol"`             // enthalpy at 25 °C and zero ionic strength, J/mol
	DeltaHSpread float64 `json:"reaction_enthalpy_spread_j_per_mol"`      // its standard uncertainty, J/mol; 30 kJ/mol if 0
	DeltaCp      float64 `json:"reaction_heat_capacity_j_per_mol_k"`      // heat capacity of reaction, J/(mol K)
	EpsPerZ2     float64 `json:"interaction_per_charge_square_l_per_mol"` // Δε per Δz², L/mol
}

// Fitted is a constant with the reaction and the observations that it rests on.
type Fitted struct {
	Constant
	Reaction     Reaction      `json:"reaction"`
	Observations []Observation `json:"observations"` // with their residuals
	Determined   [4]bool       `json:"determined"`   // whether the data fix LogK, DeltaH, DeltaCp, DeltaEps more than Prior does
	Prior        Prior         `json:"prior"`
}

// Standard uncertainties of an observation, where none was given or it is smaller than what
// two laboratories agree on; of what the data leave open; and of every constant, since
// laboratories differ by 0.03 to 0.05: judgement, after the spreads printed in NIST SRD 46
// (Smith, Martell & Motekaitis 2004). With them twice the uncertainty holds 19 in 20 of
// the values that a fit has not seen.
const (
	floorLog10K   = 0.01  // log units, when the source gives an uncertainty
	assumedLog10K = 0.1   // log units, when it gives none
	floorEnthalpy = 500.  // J/mol
	assumedH      = 3000. // J/mol
	defaultH      = 3e4   // J/mol
	defaultCp     = 200.  // J/(mol K)
	defaultEps    = 0.1   // L/mol
	defaultEpsZ2  = 0.05  // L/mol per Δz²
	laboratories  = 0.05  // log units
	gapPerZ2      = 0.03  // log units per Δz² beyond fewCharges, at zero ionic strength
	fewCharges    = 6     // Δz² that one linear term still follows
	leastGap      = 1e-6  // log units, so that what is known to be nothing has a width to divide by
	reach         = 20.   // K beyond the temperatures used, with a measured enthalpy: over so much it changes little
	shortReach    = 5.    // K, without one
)

// Fit finds the [Constant] that agrees best with the observations marked Used and with what is
// expected of the reaction, by weighted linear least squares in log10 K°, ΔH, ΔCp and Δε. The
// expectation counts as one more observation of each but log10 K°: ΔH and ΔCp as the prior has
// them, ΔCp ± 200 J/(mol K), and Δε of EpsPerZ2 Δz² ± (0.1 + 0.05 |Δz²|) L/mol. A parameter counts
// as determined when the data alone tell it within half of these widths, 30 kJ/mol for ΔH.
//
// The span reaches 20 K beyond the temperatures used when ΔH is determined, else 5 K. A
// reaction that does not balance and observations without a log10 K give an [InputError].
func Fit(r Reaction, observations []Observation, prior Prior) (Fitted, error) {
	if err := r.Check(); err != nil {
		return Fitted{}, err
	}
	f := Fitted{Reaction: r, Observations: slices.Clone(observations), Prior: prior}
	f.DeltaZ2 = r.DeltaZ2()
	if !f.solve() {
		return Fitted{}, &InputError{Field: "observations of " + r.String(), Value: strconv.Itoa(len(observations)),
			Want: "as many as determine a constant, one log10 K among those used at least"}
	}
	for i := range f.Observations {
		f.Observations[i].Residual = f.Residual(f.Observations[i])
	}
	return f, nil
}

// LeaveOut returns the residual of observation i against a fit to all the others that are
// used, a value that this has not seen, and whether those determine a constant.
func (f Fitted) LeaveOut(i int) (residual float64, ok bool) {
	if i >= 0 && i < len(f.Observations) {
		rest := slices.Clone(f.Observations)
		rest[i].Used = false
		if without, err := Fit(f.Reaction, rest, f.Prior); err == nil {
			return without.Observations[i].Residual, true
		}
	}
	return 0, false
}

// Residual returns the value of an observation, with its shift, less what the constant says.
func (c Constant) Residual(o Observation) float64 {
	says := c.Log10K
	if o.Quantity == Enthalpy {
		says = c.Enthalpy
	}
	return o.Value + o.Shift - says(Celsius(o.TemperatureC), o.IonicStrengthMolPerLitre)
}

// Sigma returns the standard uncertainty that [Fit] takes an observation to have: that of
// the source or, where it gives none, 0.1 log units or 3 kJ/mol, and no less than 0.01 or 0.5.
func (o Observation) Sigma() float64 {
	floor, assumed := floorLog10K, assumedLog10K
	if o.Quantity == Enthalpy {
		floor, assumed = floorEnthalpy, assumedH
	}
	if o.Uncertainty == 0 {
		return assumed
	}
	return max(o.Uncertainty, floor)
}

// gradient returns the derivatives of the value by LogK, DeltaH, DeltaCp, DeltaEps and the
// gap at zero ionic strength.
func (o Observation) gradient() [5]float64 {
	t := Celsius(o.TemperatureC)
	if o.Quantity == Enthalpy {
		return [5]float64{1: 1, 2: float64(t - ReferenceTemperature)}
	}
	g := gradient(t, o.IonicStrengthMolPerLitre)
	out := [5]float64{g[0], g[1], g[2], g[3]}
	if o.IonicStrengthMolPerLitre == 0 {
		out[4] = 1
	}
	return out
}

// solve looks for how far each parameter lies from what is expected, in units of its
// spread, and reports whether there was a log10 K to fit.
func (f *Fitted) solve() bool {
	size := math.Abs(f.DeltaZ2)
	open := [5]float64{1, defaultH, defaultCp, defaultEps + defaultEpsZ2*size, max(gapPerZ2*(size-fewCharges), leastGap)}
	spread := open
	if f.Prior.DeltaHSpread > 0 {
		spread[1] = f.Prior.DeltaHSpread
	}
	expected := Constant{DeltaH: f.Prior.DeltaH, DeltaCp: f.Prior.DeltaCp, DeltaEps: f.Prior.EpsPerZ2 * f.DeltaZ2, DeltaZ2: f.DeltaZ2}
	var right, x [5]float64
	normal := blas64.Symmetric{N: 5, Stride: 5, Data: make([]float64, 25), Uplo: blas.Upper} // then its inverse
	for p := 1; p < 5; p++ {
		normal.Data[6*p] = 1
	}
	used, squares := 0, 0.
	f.Span = Span{LowC: math.Inf(1), HighC: math.Inf(-1)}
	for _, o := range f.Observations {
		if !o.Used {
			continue
		}
		sigma := o.Sigma()
		g, off := o.gradient(), expected.Residual(o)/sigma
		for p := range g {
			g[p] *= spread[p] / sigma
			right[p] += g[p] * off
			for q := range p + 1 {
				normal.Data[5*q+p] += g[p] * g[q]
			}
		}
		used, squares = used+1, squares+off*off
		f.Span.LowC, f.Span.HighC = min(f.Span.LowC, o.TemperatureC), max(f.Span.HighC, o.TemperatureC)
		if o.Quantity != Enthalpy {
			f.Span.HighMolPerLitre = max(f.Span.HighMolPerLitre, o.IonicStrengthMolPerLitre)
		}
	}
	factor, ok := lapack64.Potrf(normal)
	if ok {
		_, ok = lapack64.Potri(factor)
	}
	if !ok {
		return false
	}
	inverse := func(p, q int) float64 { return normal.Data[5*min(p, q)+max(p, q)] }
	told := 0.0
	for p := range x {
		for q := range right {
			x[p] += inverse(p, q) * right[q]
		}
		told += x[p] * right[p]
	}
	// Scatter beyond the stated uncertainties widens the covariance.
	scatter := 1.0
	if used > 1 {
		scatter = max(1, (squares-told)/float64(used-1))
	}
	f.LogK, f.DeltaH, f.DeltaCp, f.DeltaEps = x[0], expected.DeltaH+spread[1]*x[1], expected.DeltaCp+spread[2]*x[2], expected.DeltaEps+spread[3]*x[3]
	for p := range 4 {
		v := inverse(p, p) // 1/v is what the expectation tells, 1, and what the data tell
		f.Determined[p] = p == 0 || spread[p]*math.Sqrt(v/(1-v)) < open[p]/2
		for q := range 4 {
			f.Covariance[p][q] = scatter * spread[p] * spread[q] * inverse(p, q)
		}
	}
	f.Covariance[0][0] += laboratories * laboratories
	margin := shortReach
	if f.Determined[1] {
		margin = reach
	}
	f.Span.LowC -= margin
	f.Span.HighC += margin
	return true
}
