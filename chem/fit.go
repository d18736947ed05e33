package chem

import (
	"errors"
	"fmt"
	"math"
	"strconv"

	"gonum.org/v1/gonum/mat"
)

// Quantity is what an observation reports.
type Quantity string

// The quantities.
const (
	Log10K   Quantity = "log K"    // log10 of the concentration quotient
	Enthalpy Quantity = "enthalpy" // enthalpy of reaction, J/mol
)

// Observation is one published value of an equilibrium constant or of its
// enthalpy, with the conditions under which it holds.
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

	// Residual is Value + Shift less what the fitted constant says, same
	// unit. [Fit] sets it for every observation, used or not.
	Residual float64 `json:"residual"`
}

// Fitted is a constant together with the reaction and the observations that
// it rests on.
type Fitted struct {
	Constant
	Reaction     Reaction      `json:"reaction"`
	Observations []Observation `json:"observations"`                            // with their residuals
	Determined   [4]bool       `json:"determined"`                              // whether the data fix LogK, DeltaH, DeltaCp, DeltaEps; the others are defaults
	EpsPerZ2     float64       `json:"interaction_per_charge_square_l_per_mol"` // the default of Δε per Δz²
}

// Floors of the standard uncertainty of an observation, where none was given
// or where it is smaller than what two laboratories agree on; and widths of
// the defaults for what the data leave open. They are our judgement, after
// the spreads printed in NIST SRD 46 (Smith, Martell & Motekaitis 2004).
const (
	floorLog10K   = 0.01  // log units, when the source gives an uncertainty
	assumedLog10K = 0.1   // log units, when it gives none
	floorEnthalpy = 500.  // J/mol
	assumedH      = 3000. // J/mol
	defaultH      = 3e4   // J/mol
	defaultCp     = 150.  // J/(mol K)
	minSpanI      = 0.35  // mol/L between the used rows before Δε is fitted
)

// Fit finds the [Constant] that agrees best with the observations marked Used,
// by weighted linear least squares in log10 K°, ΔH, ΔCp and Δε. Only what the
// data determine is fitted:
//
//   - ΔH when an enthalpy is given or log10 K at two temperatures 10 K apart;
//   - ΔCp when log10 K is given at three temperatures, or ΔH at two, or one of
//     each besides 25 °C, again 10 K apart;
//   - Δε when the ionic strengths used span at least 0.35 mol/L.
//
// Otherwise ΔH and ΔCp are 0 ± 30 kJ/mol and 0 ± 150 J/(mol K), and Δε is
// epsPerZ2 · Δz² with a standard uncertainty of 0.1 + 0.03 |Δz²| L/mol. These
// widths enter the covariance. The span reaches 20 K beyond the temperatures
// used when ΔH is known, 5 K when it is not. A reaction that does not balance and
// observations that do not determine a constant give an [InputError].
func Fit(r Reaction, observations []Observation, epsPerZ2 float64) (Fitted, error) {
	if err := r.Check(); err != nil {
		return Fitted{}, err
	}
	f := Fitted{Reaction: r, Observations: append([]Observation(nil), observations...), EpsPerZ2: epsPerZ2}
	f.DeltaZ2 = r.DeltaZ2()
	if err := f.solve(-1); err != nil {
		return Fitted{}, &InputError{Field: "observations of " + r.String(), Value: strconv.Itoa(len(observations)),
			Want: "as many as determine a constant", Err: err}
	}
	for i := range f.Observations {
		f.Observations[i].Residual = f.Residual(f.Observations[i])
	}
	return f, nil
}

// LeaveOut returns the residual of observation i against a fit to all the
// others that are used, and whether those determine a constant: how well the
// fit foretells a value that it has not seen.
func (f Fitted) LeaveOut(i int) (residual float64, ok bool) {
	if i < 0 || i >= len(f.Observations) {
		return math.NaN(), false
	}
	o := f.Observations[i]
	if !o.Used {
		return o.Residual, true
	}
	if err := f.solve(i); err != nil {
		return math.NaN(), false
	}
	return f.Residual(o), true
}

// Residual returns the value of an observation, with its shift, less what the
// constant says.
func (c Constant) Residual(o Observation) float64 {
	t := Celsius(o.TemperatureC)
	if o.Quantity == Enthalpy {
		return o.Value + o.Shift - c.Enthalpy(t, o.IonicStrengthMolPerLitre)
	}
	return o.Value + o.Shift - c.Log10K(t, o.IonicStrengthMolPerLitre)
}

// weight returns the inverse of the standard uncertainty of the observation.
func (o Observation) weight() float64 {
	floor, assumed := floorLog10K, assumedLog10K
	if o.Quantity == Enthalpy {
		floor, assumed = floorEnthalpy, assumedH
	}
	if o.Uncertainty == 0 {
		return 1 / assumed
	}
	return 1 / max(o.Uncertainty, floor)
}

// solve fits the constant to the used observations, less the one at index skip.
func (f *Fitted) solve(skip int) error {
	var used []Observation
	for i, o := range f.Observations {
		if o.Used && i != skip {
			used = append(used, o)
		}
	}
	f.determine(used)
	if !f.Determined[0] {
		return errors.New("want at least one log10 K among those used")
	}
	var columns []int
	for p, yes := range f.Determined {
		if yes {
			columns = append(columns, p)
		}
	}
	if len(used) < len(columns) {
		return fmt.Errorf("%d values for %d parameters", len(used), len(columns))
	}
	a := mat.NewDense(len(used), len(columns), nil)
	b := mat.NewVecDense(len(used), nil)
	p := [4]float64{3: f.EpsPerZ2 * f.DeltaZ2}
	if f.Determined[3] {
		p[3] = 0
	}
	start := Constant{DeltaEps: p[3], DeltaZ2: f.DeltaZ2}
	for i, o := range used {
		w := o.weight()
		g := gradient(Celsius(o.TemperatureC), o.IonicStrengthMolPerLitre)
		if o.Quantity == Enthalpy {
			g = [4]float64{0, 1, float64(Celsius(o.TemperatureC) - ReferenceTemperature), 0}
		}
		for j, p := range columns {
			a.Set(i, j, w*g[p])
		}
		b.SetVec(i, w*start.Residual(o))
	}
	// Scale the columns, since ΔH in J/mol and log K differ by 1e5.
	scale := make([]float64, len(columns))
	for j := range columns {
		scale[j] = mat.Norm(a.ColView(j), 2)
		for i := range used {
			a.Set(i, j, a.At(i, j)/scale[j])
		}
	}
	var normal, inverse mat.SymDense
	normal.SymOuterK(1, a.T())
	var cholesky mat.Cholesky
	var x, r mat.VecDense
	r.MulVec(a.T(), b)
	if !cholesky.Factorize(&normal) || cholesky.InverseTo(&inverse) != nil || cholesky.SolveVecTo(&x, &r) != nil {
		return errors.New("those used do not tell its parameters apart")
	}
	// Scatter beyond the stated uncertainties widens the covariance.
	r.Reset()
	r.MulVec(a, &x)
	r.SubVec(b, &r)
	scatter := 1.0
	if n := len(used) - len(columns); n > 0 {
		scatter = max(1, mat.Dot(&r, &r)/float64(n))
	}
	f.Covariance = [4][4]float64{1: {1: defaultH * defaultH}, 2: {2: defaultCp * defaultCp}}
	eps := 0.1 + 0.03*math.Abs(f.DeltaZ2)
	f.Covariance[3][3] = eps * eps
	for i, pi := range columns {
		p[pi] = x.AtVec(i) / scale[i]
		for j, pj := range columns {
			f.Covariance[pi][pj] = scatter * inverse.At(i, j) / (scale[i] * scale[j])
		}
	}
	f.LogK, f.DeltaH, f.DeltaCp, f.DeltaEps = p[0], p[1], p[2], p[3]
	return nil
}

// determine finds which parameters the observations fix, and their span.
func (f *Fitted) determine(used []Observation) {
	type interval struct{ low, high float64 }
	empty := interval{math.Inf(1), math.Inf(-1)}
	widen := func(v *interval, x float64) { v.low, v.high = min(v.low, x), max(v.high, x) }
	i, t, th, all := empty, empty, empty, empty
	for _, o := range used {
		widen(&all, o.TemperatureC)
		if o.Quantity == Enthalpy {
			widen(&th, o.TemperatureC)
			continue
		}
		widen(&t, o.TemperatureC)
		widen(&i, o.IonicStrengthMolPerLitre)
	}
	const apart = 9 // K; ten, give or take what sources round
	inner := false  // a log10 K that far or farther from both ends
	for _, o := range used {
		inner = inner || o.Quantity != Enthalpy && o.TemperatureC-t.low > apart && t.high-o.TemperatureC > apart
	}
	warm := t.high-t.low > apart
	f.Determined = [4]bool{
		len(used) > 0 && t.low <= t.high,
		th.low <= th.high || warm,
		th.high-th.low > apart || warm && (inner || th.low <= th.high),
		i.high-i.low >= minSpanI,
	}
	margin := 5.0
	if f.Determined[1] {
		margin = 20
	}
	f.Span = Span{all.low - margin, all.high + margin, i.high}
}
