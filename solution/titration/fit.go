package titration

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/path"
)

// ErrFit is wrapped by a fit that the readings cannot settle: unknowns that act
// alike, or no way down from the start.
var ErrFit = errors.New("titration: the readings do not determine the unknowns")

// Unknown is a number that a fit shall find.
type Unknown struct {
	kind    unknownKind
	species string
}

type unknownKind int

const (
	concentration unknownKind = iota
	strength
	acidConstant
	offset
)

// Concentration is that of a species in the sample, mol/L: as much as the
// components in it would make, however they are spread. The search starts at what
// the sample was made with, which must be above 0, and moves all components of
// the species: "Hac" brings as much H⁺ as acetate, "ac-" brings none.
func Concentration(species string) Unknown { return Unknown{concentration, species} }

// Strength is a factor on all that the titrant holds, 1 at the start.
func Strength() Unknown { return Unknown{kind: strength} }

// AcidConstant is −log10 K° of an acid, by its formula, at zero ionic strength
// and the temperature of the sample; the search starts at the constant in use.
// What holds more protons moves along.
func AcidConstant(acid string) Unknown { return Unknown{acidConstant, acid} }

// Offset is what the electrode reads too much, in pH, 0 at the start.
func Offset() Unknown { return Unknown{kind: offset} }

// Fitting is how a fit weighs its readings.
type Fitting struct {
	// PHStandard is the standard uncertainty of a reading of pH, and
	// VolumeStandard that of each volume in mL, which counts by the slope of the
	// curve. With both at 0 all readings weigh the same and their uncertainty is
	// that of the residuals.
	PHStandard, VolumeStandard float64
	// Robust gives less weight to readings that lie off, so that a few blunders
	// do not drag the answer along: the sum is of 2k²(√(1+(z/k)²) − 1), a smooth
	// form of Huber's function (P. J. Huber, Ann. Math. Statist. 35 (1964) 73), z
	// being the residual over its uncertainty. It costs 5 % of efficiency where
	// there are no blunders.
	Robust bool
}

// Estimate is an unknown as found.
type Estimate struct {
	Name     string  `json:"name"`
	Value    float64 `json:"value"` // mol/L, a factor, pKa or pH: see what made the [Unknown]
	Standard float64 `json:"standard_uncertainty"`
	Low      float64 `json:"low_95"` // to High: the 95 % interval
	High     float64 `json:"high_95"`
}

// Fit is the outcome of a fit.
type Fit struct {
	Estimates  []Estimate  `json:"estimates"`          // in the order of the unknowns
	Residuals  []float64   `json:"residuals_ph"`       // read less computed, of each reading
	Weights    []float64   `json:"weights"`            // of each reading: 1, or less where a robust fit mistrusts it
	Correlated [][]float64 `json:"correlation"`        // of the estimates
	Freedom    int         `json:"degrees_of_freedom"` // readings less unknowns
	// Scatter is the root mean square of the residuals over the uncertainties
	// given: near 1 when model and uncertainties hold. Without given
	// uncertainties it is in pH.
	Scatter    float64 `json:"scatter"`
	Iterations int     `json:"iterations"`
}

// Fit finds the unknowns that best explain readings of pH, by Gauss–Newton steps
// on exact derivatives, shortened where a full one does not improve
// (Levenberg–Marquardt). The titration itself stays as it is. Readings must be
// more than the unknowns; the probe must be H⁺ and the pH free.
//
// Uncertainties are those of the linearised problem (A. Björck, Numerical Methods
// for Least Squares Problems, SIAM 1996). They do not hold the errors of what was
// not unknown: constants, sample volume, what else is in the sample.
func (t *Titration) Fit(ctx context.Context, readings []Reading, how Fitting, unknowns ...Unknown) (*Fit, error) {
	f, err := t.fitter(readings, how, unknowns)
	if err != nil {
		return nil, err
	}
	if err := f.search(ctx); err != nil {
		return nil, err
	}
	return f.report()
}

// fitter is a fit under way. Its parameters are the logarithms of concentrations
// and strength, which keeps them above 0, and constants and offset as they are.
type fitter struct {
	path     *path.Path
	readings []Reading
	how      Fitting
	unknowns []Unknown
	moves    []move
	x        []float64 // parameters, at which the path stands
	offset   float64

	residual, sigma, weight []float64 // of each reading
	jacobian                *mat.Dense
	gradient                path.Gradient
	spread                  float64 // that the weights refer to
	iterations              int
}

// move is what a unit of an unknown changes along the path.
type move struct {
	start []float64 // mol of each component for 1 mol/L
	rate  []float64 // mol/L of each component for a factor of 1
	logK  []float64 // of each species for one unit of pKa
}

func (t *Titration) fitter(readings []Reading, how Fitting, unknowns []Unknown) (*fitter, error) {
	if t.probe != 0 {
		return nil, &chem.InputError{Field: "probe", Value: t.species.String(), Want: "H+, for a fit to readings of pH"}
	}
	if len(unknowns) == 0 || len(readings) <= len(unknowns) {
		return nil, &chem.InputError{Field: "readings", Value: fmt.Sprintf("%d for %d unknowns", len(readings), len(unknowns)), Want: "an unknown or more, and more readings than unknowns"}
	}
	for i, r := range readings {
		if !(r.ML >= 0 && r.ML <= 1e9) || !(r.P >= -2 && r.P <= 16) {
			return nil, &chem.InputError{Field: fmt.Sprintf("reading %d", i+1), Value: fmt.Sprintf("%g mL, pH %g", r.ML, r.P), Want: "a volume from 0 and a pH from -2 to 16"}
		}
	}
	for field, s := range map[string]float64{"standard uncertainty of pH": how.PHStandard, "standard uncertainty of volume": how.VolumeStandard} {
		if !(s >= 0 && s <= 100) {
			return nil, &chem.InputError{Field: field, Value: fmt.Sprint(s), Want: "0 to 100"}
		}
	}
	if how.VolumeStandard > 0 && how.PHStandard == 0 {
		return nil, &chem.InputError{Field: "standard uncertainty of pH", Value: "0", Want: "a number above 0, when that of volume is given"}
	}
	n := len(readings)
	f := &fitter{
		path: t.path.Clone(), readings: slices.Clone(readings), how: how, unknowns: slices.Clone(unknowns),
		residual: make([]float64, n), sigma: make([]float64, n), weight: make([]float64, n),
		jacobian: mat.NewDense(n, len(unknowns), nil),
	}
	for i := range f.weight {
		f.weight[i] = 1
	}
	for k, u := range unknowns {
		if slices.Contains(unknowns[:k], u) {
			return nil, &chem.InputError{Field: "unknowns", Value: u.name(), Want: "each once"}
		}
		m, x, err := f.prepare(u)
		if err != nil {
			return nil, err
		}
		f.moves, f.x = append(f.moves, m), append(f.x, x)
	}
	return f, nil
}

func (u Unknown) name() string {
	switch u.kind {
	case concentration:
		return "concentration of " + u.species
	case strength:
		return "strength of the titrant"
	case acidConstant:
		return "pKa of " + u.species
	}
	return "offset of the electrode"
}

// prepare finds what an unknown moves and where it starts.
func (f *fitter) prepare(u Unknown) (move, float64, error) {
	var m move
	bad := func(want string) (move, float64, error) {
		return move{}, 0, &chem.InputError{Field: u.name(), Value: u.species, Want: want}
	}
	species := -1
	if u.kind == concentration || u.kind == acidConstant {
		var err error
		if species, err = f.path.FindSpecies(u.species); err != nil {
			return move{}, 0, err
		}
		if species < 0 {
			return bad("a species of this titration")
		}
	}
	switch u.kind {
	case concentration:
		litres := f.path.StartLitres()
		least := math.Inf(1)
		for i, n := range f.path.Composition(species) {
			m.start = append(m.start, n*litres)
			if n != 0 {
				least = min(least, f.path.Start(i)/(n*litres))
			}
		}
		if !(least > 0) {
			return bad("a species whose components the sample holds, for a start")
		}
		return m, math.Log(least), nil
	case strength:
		for i := range f.path.Components() {
			m.rate = append(m.rate, f.path.Rate(i))
		}
		return m, 0, nil
	case acidConstant:
		own := f.path.Composition(species)
		step := math.NaN() // log K of the last proton
		for j := range f.path.Species() {
			other := f.path.Composition(j)
			same := true
			for i := 1; i < len(own); i++ {
				same = same && own[i] == other[i]
			}
			shift := 0.0
			if same && other[0] >= own[0] {
				shift = 1
			}
			m.logK = append(m.logK, shift)
			if same && other[0] == own[0]-1 {
				step = f.path.StandardLog10K(species) - f.path.StandardLog10K(j)
			}
		}
		if math.IsNaN(step) || own[0] < 1 {
			return bad("an acid: a species that has lost a proton in another")
		}
		return m, step, nil
	}
	return m, 0, nil
}

// step moves parameter k of the path by d.
func (f *fitter) step(k int, d float64) {
	m := &f.moves[k]
	switch f.unknowns[k].kind {
	case concentration:
		dc := math.Exp(f.x[k]) * math.Expm1(d)
		for i, n := range m.start {
			f.path.Spill(i, n*dc)
		}
	case strength:
		df := math.Exp(f.x[k]) * math.Expm1(d)
		for i, n := range m.rate {
			f.path.Strengthen(i, n*df)
		}
	case acidConstant:
		for j, n := range m.logK {
			if n != 0 {
				f.path.ShiftConstant(j, n*d)
			}
		}
	case offset:
		f.offset += d
	}
	f.x[k] += d
}

// evaluate computes residuals, and with derivatives the Jacobian and the
// uncertainty of each reading.
func (f *fitter) evaluate(ctx context.Context, derivatives bool) error {
	for i, r := range f.readings {
		if err := ctx.Err(); err != nil {
			return err
		}
		if err := f.path.At(r.ML / 1000); err != nil {
			return err
		}
		f.residual[i] = r.P - f.path.PH() - f.offset
		if !derivatives {
			continue
		}
		f.sigma[i] = 1
		if f.how.PHStandard > 0 {
			f.sigma[i] = f.how.PHStandard
		}
		if f.how.VolumeStandard > 0 {
			first, _, err := f.path.Motion()
			if err != nil {
				return err
			}
			f.sigma[i] = math.Hypot(f.sigma[i], first.PH/1000*f.how.VolumeStandard)
		}
		if err := f.path.Gradient(&f.gradient); err != nil {
			return err
		}
		for k, u := range f.unknowns {
			m, d := &f.moves[k], 0.0
			switch u.kind {
			case concentration:
				d = inner(m.start, f.gradient.Start) * math.Exp(f.x[k])
			case strength:
				d = inner(m.rate, f.gradient.Rate) * math.Exp(f.x[k])
			case acidConstant:
				d = inner(m.logK, f.gradient.LogK)
			case offset:
				d = 1
			}
			f.jacobian.Set(i, k, d)
		}
	}
	return nil
}

func inner(a, b []float64) float64 {
	sum := 0.0
	for i, v := range a {
		sum += v * b[i]
	}
	return sum
}

// sum is the sum of squares, or of what a robust fit puts in their place.
func (f *fitter) sum(scale float64) float64 {
	sum := 0.0
	for i, r := range f.residual {
		z := r / (f.sigma[i] * scale)
		if f.how.Robust {
			q := z * z / (knee * knee)
			z = knee * math.Sqrt(2*q/(1+math.Sqrt(1+q))) // 2k²(√(1+q) − 1) without cancellation
		}
		sum += z * z
	}
	return sum
}

const (
	knee   = 1.287 // where squares turn into lengths, for an efficiency of 0.95 with normal errors
	settle = 12    // iterations after which the spread stays, lest weights and spread chase each other
)

// scale is the spread of residuals over their uncertainties that the weights
// refer to: 1 where uncertainties are given, and else the median's, which
// blunders do not move.
func (f *fitter) scale() float64 {
	if f.how.PHStandard > 0 {
		return 1
	}
	z := make([]float64, len(f.residual))
	for i, r := range f.residual {
		z[i] = math.Abs(r / f.sigma[i])
	}
	slices.Sort(z)
	n, p := float64(len(z)), float64(len(f.unknowns))
	// a normal distribution's median, and what fitting took from the residuals
	return max(1.4826*math.Sqrt(n/(n-p))*z[len(z)/2], 1e-12)
}

// search walks down to the least sum of squares.
func (f *fitter) search(ctx context.Context) error {
	if err := f.evaluate(ctx, true); err != nil {
		return err
	}
	lambda := 0.0
	n, p := len(f.readings), len(f.unknowns)
	delta := make([]float64, p)
	for f.iterations = 1; f.iterations <= 100; f.iterations++ {
		if f.iterations <= settle {
			f.spread = f.scale()
		}
		scale := f.spread
		if f.how.Robust {
			for i, r := range f.residual {
				f.weight[i] = 1 / math.Hypot(1, r/(f.sigma[i]*scale*knee))
			}
		}
		before := f.sum(scale)
		finish := 1e-6 * max(scale, 1e-6) // step in standard uncertainties at which to stop
		factor, rows, err := f.factor(f.curvature)
		if err != nil {
			return err
		}
		for tries := 0; ; tries++ {
			if tries > 40 {
				return fmt.Errorf("%w: no step improves on a scatter of %.3g", ErrFit, math.Sqrt(before/float64(n)))
			}
			factor.step(rows, lambda, delta)
			size := 0.0 // of the step in standard uncertainties, at most
			for k, d := range delta {
				delta[k] = math.Copysign(min(math.Abs(d), 2), d)
				size = max(size, math.Abs(delta[k])/factor.sd[k])
			}
			f.walk(delta, 1)
			err := f.evaluate(ctx, false)
			if after := f.sum(scale); err == nil && after <= before*(1+1e-12) {
				lambda /= 10
				if lambda < 1e-6 {
					lambda = 0
				}
				if err := f.evaluate(ctx, true); err != nil {
					return err
				}
				if size < finish && lambda == 0 {
					return nil
				}
				break
			}
			if ctx.Err() != nil {
				return ctx.Err()
			}
			f.walk(delta, -1)
			if size < finish {
				return f.evaluate(ctx, true) // as low as rounding lets it
			}
			lambda = max(10*lambda, 1e-3)
		}
	}
	return fmt.Errorf("%w: no end after %d iterations", ErrFit, f.iterations-1)
}

func (f *fitter) walk(delta []float64, sign float64) {
	for k, d := range delta {
		f.step(k, sign*d)
	}
}

// factored is the weighted Jacobian as U S Vᵀ, its columns scaled to length one.
type factored struct {
	u, v   mat.Dense
	s      []float64
	length []float64 // of the columns
	sd     []float64 // standard uncertainty of each parameter, in units of the scale
}

// curvature is the second derivative of a reading's part of the sum by its
// residual, over that of a square.
func (f *fitter) curvature(i int) float64 { return f.weight[i] * f.weight[i] * f.weight[i] }

// factor decomposes the Jacobian, rows weighed by the curvature given, and scales
// the residuals so that the two make up the gradient.
func (f *fitter) factor(curvature func(int) float64) (*factored, []float64, error) {
	n, p := f.jacobian.Dims()
	j := mat.DenseCopyOf(f.jacobian)
	rows := make([]float64, n)
	for i := range n {
		w := math.Sqrt(curvature(i)) / f.sigma[i]
		rows[i] = f.weight[i] * f.residual[i] / (f.sigma[i] * math.Sqrt(curvature(i)))
		for k := range p {
			j.Set(i, k, w*j.At(i, k))
		}
	}
	q := &factored{length: make([]float64, p), sd: make([]float64, p)}
	for k := range p {
		q.length[k] = mat.Norm(j.ColView(k), 2)
		if !(q.length[k] > 1e-9) { // pH units or uncertainties for a unit of the parameter
			return nil, nil, fmt.Errorf("%w: the %s has no effect on them", ErrFit, f.unknowns[k].name())
		}
		for i := range n {
			j.Set(i, k, j.At(i, k)/q.length[k])
		}
	}
	var svd mat.SVD
	if !svd.Factorize(j, mat.SVDThin) {
		return nil, nil, fmt.Errorf("%w: no singular values", ErrFit)
	}
	q.s = svd.Values(nil)
	svd.UTo(&q.u)
	svd.VTo(&q.v)
	if q.s[p-1] < 1e-8*q.s[0] {
		worst := 0
		for k := range p {
			if math.Abs(q.v.At(k, p-1)) > math.Abs(q.v.At(worst, p-1)) {
				worst = k
			}
		}
		return nil, nil, fmt.Errorf("%w: the %s cannot be told from the others", ErrFit, f.unknowns[worst].name())
	}
	for k := range p {
		sum := 0.0
		for l, s := range q.s {
			sum += q.v.At(k, l) * q.v.At(k, l) / (s * s)
		}
		q.sd[k] = math.Sqrt(sum) / q.length[k]
	}
	return q, rows, nil
}

// step solves for the damped Gauss–Newton step.
func (q *factored) step(rows []float64, lambda float64, delta []float64) {
	clear(delta)
	for l, s := range q.s {
		dot := 0.0
		for i, r := range rows {
			dot += q.u.At(i, l) * r
		}
		dot *= s / (s*s + lambda)
		for k := range delta {
			delta[k] += q.v.At(k, l) * dot / q.length[k]
		}
	}
}

func (f *fitter) report() (*Fit, error) {
	q, _, err := f.factor(func(i int) float64 { return f.weight[i] })
	if err != nil {
		return nil, err
	}
	n, p := len(f.readings), len(f.unknowns)
	out := &Fit{Residuals: f.residual, Weights: f.weight, Freedom: n - p, Iterations: f.iterations}
	sum := 0.0
	for i, r := range f.residual {
		z := r / f.sigma[i]
		sum += f.weight[i] * z * z
	}
	out.Scatter = math.Sqrt(sum / float64(n-p))
	scale, reach := 1.0, distuv.UnitNormal.Quantile(0.975)
	if f.how.PHStandard == 0 {
		scale = out.Scatter
		reach = distuv.StudentsT{Sigma: 1, Nu: float64(n - p)}.Quantile(0.975)
	}
	if f.how.Robust {
		scale = f.robustScale()
	}
	for k, u := range f.unknowns {
		e := Estimate{Name: u.name(), Value: f.x[k]}
		sd := scale * q.sd[k]
		e.Low, e.High = f.x[k]-reach*sd, f.x[k]+reach*sd
		e.Standard = sd
		if u.kind == concentration || u.kind == strength {
			e.Value, e.Low, e.High = math.Exp(e.Value), math.Exp(e.Low), math.Exp(e.High)
			e.Standard = sd * e.Value
		}
		out.Estimates = append(out.Estimates, e)
		row := make([]float64, p)
		for l := range p {
			for m, s := range q.s {
				row[l] += q.v.At(k, m) * q.v.At(l, m) / (s * s)
			}
			row[l] /= q.sd[k] * q.length[k] * q.sd[l] * q.length[l]
		}
		out.Correlated = append(out.Correlated, row)
	}
	return out, nil
}

// robustScale is the scale that makes the covariance of the weighted Jacobian
// that of the robust estimate: with ψ the derivative of the summed function, the
// mean of ψ² over the squared mean of ψ′, and the factor K for few readings (P.
// J. Huber, Ann. Statist. 1 (1973) 799, from memory). What the weights did to the
// Jacobian is divided out.
func (f *fitter) robustScale() float64 {
	squares, bend, bends, weight := 0.0, 0.0, 0.0, 0.0
	for i, r := range f.residual {
		psi := f.weight[i] * r / (f.sigma[i] * f.spread)
		squares += psi * psi
		bend += f.curvature(i)
		bends += f.curvature(i) * f.curvature(i)
		weight += f.weight[i]
	}
	n, p := float64(len(f.residual)), float64(len(f.unknowns))
	bend /= n
	k := 1 + p/n*(bends/n-bend*bend)/(bend*bend)
	return k * f.spread * math.Sqrt(squares/(n-p)) / bend * math.Sqrt(weight/n)
}
