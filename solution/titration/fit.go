package titration

import (
	"context"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/path"
)

// Fitting is how a fit weighs its readings.
type Fitting struct {
	// Standard is the standard uncertainty of a reading, in units of pH or pM, and
	// VolumeStandard that of each volume, which counts by the slope of the curve.
	// With both at 0 all readings weigh the same and their uncertainty is that of
	// the residuals.
	Standard       float64
	VolumeStandard unit.Volume
	// Robust gives less weight to readings that lie off, so that a few blunders
	// do not drag the answer along: the sum is of 2k²(√(1+(z/k)²) − 1), a smooth
	// form of Huber's function (P. J. Huber, Ann. Math. Statist. 35 (1964) 73), z
	// being the residual over its uncertainty. It costs 5 % of efficiency where
	// there are no blunders.
	Robust bool
}

// Estimate is an unknown as found.
type Estimate struct {
	Unknown  Unknown `json:"name"`
	Value    float64 `json:"value"` // mol/L, a factor, a constant's logarithm or units of the probe
	Standard float64 `json:"standard_uncertainty"`
	Low      float64 `json:"low_95"` // to High: the 95 % interval
	High     float64 `json:"high_95"`
}

// Fit is the outcome of a fit.
type Fit struct {
	Estimates  []Estimate  `json:"estimates"`   // in the order of the unknowns
	Residuals  []float64   `json:"residuals_p"` // read less computed, of each reading
	Weights    []float64   `json:"weights"`     // of each reading: 1, or less where a robust fit mistrusts it
	Correlated [][]float64 `json:"correlation"` // of the estimates
	// Scatter is the root mean square of the residuals over the uncertainties
	// given: near 1 when model and uncertainties hold. Without given
	// uncertainties it is in units of the probe.
	Scatter float64 `json:"scatter"`
	Freedom int     `json:"degrees_of_freedom"` // readings less unknowns
}

// Fit finds the unknowns that best explain readings of the probe, by Gauss–Newton
// steps on exact derivatives, shortened where a full one does not improve
// (Levenberg–Marquardt). The titration itself stays as it is. There must be more
// readings than unknowns, and the readings must tell the unknowns apart.
//
// Uncertainties are those of the linearised problem (A. Björck, Numerical Methods
// for Least Squares Problems, SIAM 1996). They do not hold the errors of what was
// not unknown: other constants, sample volume, what else is in the sample.
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
	run      *Titration
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
}

// move is what a unit of an unknown changes along the path.
type move struct {
	start  []float64 // mol of each component for 1 mol/L
	rate   []float64 // mol/L of each component for a factor of 1
	logK   []float64 // of each species and solid for one unit of a constant
	offset float64   // of the electrode
	log    bool      // the parameter is a logarithm
}

func (t *Titration) fitter(readings []Reading, how Fitting, unknowns []Unknown) (*fitter, error) {
	if err := t.ready(); err != nil {
		return nil, err
	}
	if len(unknowns) == 0 || len(readings) <= len(unknowns) {
		return nil, &chem.InputError{Field: "number of readings", Value: fmt.Sprintf("%d for %d unknowns", len(readings), len(unknowns)), Want: "an unknown or more, and more readings than unknowns"}
	}
	least := 0.0
	if t.probe > 0 && t.path.Start(t.probe) == 0 {
		least = leastML // before the burette is opened there is none of the ion
	}
	for i, r := range readings {
		if err := r.check(i); err != nil {
			return nil, err
		}
		if err := chem.Within(fmt.Sprintf("volume of reading %d", i+1), r.ML, least, mostML, "mL"); err != nil {
			return nil, err
		}
	}
	if err := chem.Within("standard uncertainty of a reading", how.Standard, 0, highestP, ""); err != nil {
		return nil, err
	}
	if _, err := volumeML("standard uncertainty of volume", how.VolumeStandard, 0); err != nil {
		return nil, err
	}
	if how.VolumeStandard > 0 && how.Standard == 0 {
		return nil, &chem.InputError{Field: "standard uncertainty of a reading", Value: "0", Want: "a number above 0, when that of volume is given"}
	}
	n := len(readings)
	f := &fitter{
		run:      &Titration{path: t.path.Clone(), probe: t.probe},
		readings: readings, how: how, unknowns: unknowns,
		residual: make([]float64, n), sigma: make([]float64, n), weight: make([]float64, n),
		jacobian: mat.NewDense(n, len(unknowns), nil),
	}
	for i := range f.weight {
		f.weight[i] = 1
	}
	for k, u := range unknowns {
		if slices.Contains(unknowns[:k], u) {
			return nil, &chem.InputError{Field: string(u), Value: "there twice", Want: "each unknown once"}
		}
		m, x, err := t.move(u)
		if err != nil {
			return nil, err
		}
		f.moves, f.x = append(f.moves, m), append(f.x, x)
	}
	return f, nil
}

// move finds what an unknown changes and where it starts.
func (t *Titration) move(u Unknown) (move, float64, error) {
	p := t.path
	dissolved, components := len(p.Species()), len(p.Components())
	m := move{start: make([]float64, components), rate: make([]float64, components), logK: make([]float64, dissolved+len(p.Solids()))}
	bad := func(want string) (move, float64, error) {
		return move{}, 0, &chem.InputError{Field: "unknown", Value: string(u), Want: want}
	}
	kind, species := u.split()
	switch u {
	case Strength:
		for i := range m.rate {
			m.rate[i] = p.Rate(i)
		}
		m.log = true
		return m, 0, nil
	case Offset:
		m.offset = 1
		return m, 0, nil
	}
	if species == "" {
		return bad("one that this package makes")
	}
	j, err := p.FindSpecies(species)
	switch {
	case err != nil:
		return move{}, 0, err
	case j < 0 || j >= dissolved && kind != formationOf:
		return bad("a species of this titration")
	case kind == formationOf:
		if i, err := p.Component(species); err == nil && i >= 0 {
			return bad("a species that is made from components; this one is a component")
		}
		m.logK[j] = 1
		return m, p.StandardLog10K(j), nil
	case kind == acidConstantOf:
		pK, ok := t.acid(j, m.logK)
		if !ok {
			return bad("an acid: a species that has lost a proton in another")
		}
		return m, pK, nil
	}
	m.log = true
	start := math.Inf(1)
	for i, n := range p.Composition(j) {
		if m.start[i] = n * p.StartLitres(); n != 0 {
			start = min(start, p.Start(i)/m.start[i])
		}
	}
	if !(start > 0) {
		return bad("a species whose components the sample holds, for a start")
	}
	return m, math.Log(start), nil
}

// acid returns the pKa of a species, and marks what moves along with it.
func (t *Titration) acid(species int, moves []float64) (pK float64, ok bool) {
	p := t.path
	own := p.Composition(species)
	for j := range p.Species() {
		other := p.Composition(j)
		switch {
		case !slices.Equal(other[1:], own[1:]):
		case other[0] >= own[0]:
			moves[j] = 1
		case other[0] == own[0]-1:
			pK, ok = p.StandardLog10K(species)-p.StandardLog10K(j), own[0] >= 1
		}
	}
	return pK, ok
}

// scale is how fast what a parameter stands for changes with it.
func (m *move) scale(x float64) float64 {
	if m.log {
		return math.Exp(x)
	}
	return 1
}

// walk moves all parameters, and the path with them.
func (f *fitter) walk(delta []float64, sign float64) {
	for k, d := range delta {
		m := &f.moves[k]
		d *= sign
		by := d
		if m.log {
			by = m.scale(f.x[k]) * math.Expm1(d)
		}
		for i := range m.start {
			f.run.path.Spill(i, m.start[i]*by)
			f.run.path.Strengthen(i, m.rate[i]*by)
		}
		for j, n := range m.logK {
			if n != 0 { // a species left out stays out
				f.run.path.ShiftConstant(j, n*by)
			}
		}
		f.offset += m.offset * by
		f.x[k] += d
	}
}

// evaluate computes residuals, and with derivatives the Jacobian and the
// uncertainty of each reading.
func (f *fitter) evaluate(ctx context.Context, derivatives bool) error {
	way := f.run.path
	for i, r := range f.readings {
		if err := ctx.Err(); err != nil {
			return err
		}
		p, err := f.run.at(r.ML, derivatives && f.how.VolumeStandard > 0, nil)
		if err != nil {
			return err
		}
		f.residual[i] = r.P - p.P - f.offset
		if !derivatives {
			continue
		}
		f.sigma[i] = 1
		if f.how.Standard > 0 {
			f.sigma[i] = math.Hypot(f.how.Standard, p.SlopePerML*inML(f.how.VolumeStandard))
		}
		if err := way.Gradient(f.run.probe, &f.gradient); err != nil {
			return err
		}
		for k := range f.moves {
			m, g := &f.moves[k], &f.gradient
			d := floats.Dot(m.start, g.Start) + floats.Dot(m.rate, g.Rate) + floats.Dot(m.logK, g.LogK) + m.offset
			f.jacobian.Set(i, k, d*m.scale(f.x[k]))
		}
	}
	return nil
}

func (f *fitter) report() (*Fit, error) {
	q, err := f.factor(func(i int) float64 { return f.weight[i] })
	if err != nil {
		return nil, err
	}
	n, p := len(f.readings), len(f.unknowns)
	out := &Fit{Residuals: f.residual, Weights: f.weight, Freedom: n - p}
	sum := 0.0
	for i, r := range f.residual {
		z := r / f.sigma[i]
		sum += f.weight[i] * z * z
	}
	out.Scatter = math.Sqrt(sum / float64(n-p))
	const reached = 0.975 // half of what 95 % leave out lies above
	scale, reach := 1.0, distuv.UnitNormal.Quantile(reached)
	if f.how.Standard == 0 {
		scale = out.Scatter
		reach = distuv.StudentsT{Sigma: 1, Nu: float64(n - p)}.Quantile(reached)
	}
	if f.how.Robust {
		scale = f.robustScale()
	}
	for k, u := range f.unknowns {
		sd := scale * q.sd[k]
		e := Estimate{u, f.x[k], sd, f.x[k] - reach*sd, f.x[k] + reach*sd}
		if f.moves[k].log {
			e = Estimate{u, math.Exp(e.Value), sd * math.Exp(e.Value), math.Exp(e.Low), math.Exp(e.High)}
		}
		out.Estimates = append(out.Estimates, e)
		row := make([]float64, p)
		for l := range row {
			row[l] = q.covariance.At(k, l) / math.Sqrt(q.covariance.At(k, k)*q.covariance.At(l, l))
		}
		out.Correlated = append(out.Correlated, row)
	}
	return out, nil
}
