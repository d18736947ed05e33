package titration

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/path"
)

// Unknown is a number that a fit shall find, in words: "pKa of Hac". The functions
// and constants below write it.
type Unknown string

const (
	// Strength is a factor on all that the titrant holds, 1 at the start.
	Strength Unknown = "strength of the titrant"
	// Offset is what the electrode reads too much, in units of the probe, 0 at the
	// start.
	Offset Unknown = "offset of the electrode"

	concentrationOf = "concentration of "
	acidConstantOf  = "pKa of "
	formationOf     = "log K of "
)

// Concentration is that of a species in the sample, mol/L: as much as the
// components in it would make, however they are spread. The search starts at what
// the sample was made with, which must be above 0, and moves all components of
// the species: "Hac" brings as much H⁺ as acetate, "ac-" brings none.
func Concentration(species string) Unknown { return Unknown(concentrationOf + species) }

// AcidConstant is −log10 K° of an acid, by formula or name, at zero ionic strength
// and the temperature of the sample; the search starts at the constant in use.
// What holds more protons moves along.
func AcidConstant(acid string) Unknown { return Unknown(acidConstantOf + acid) }

// FormationConstant is log10 K° of a dissolved species or a solid from its
// components, by formula or name, at zero ionic strength and the temperature of
// the sample: of a salt it is −log10 of the solubility product. The search starts
// at the constant in use, the tables' or one set by the caller; by as much as it
// moves at zero ionic strength, it moves at every other. Other species keep theirs.
func FormationConstant(species string) Unknown { return Unknown(formationOf + species) }

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
}

// Fit finds the unknowns that best explain readings of the probe, by Gauss–Newton
// steps on exact derivatives, halved where a full one does not improve. The titration itself stays as it is. There must be more
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

	residual, slope, sigma, weight []float64 // of each reading
	jacobian                       *mat.Dense
	gradient                       path.Gradient
	spread                         float64 // that the weights refer to
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
		if err := r.check(i, least); err != nil {
			return nil, err
		}
	}
	if err := within(bound{"standard uncertainty of a reading", how.Standard, 0, highestP, ""}, bound{"standard uncertainty of volume", inML(how.VolumeStandard), 0, mostML, "mL"}); err != nil {
		return nil, err
	}
	if how.VolumeStandard > 0 && how.Standard == 0 {
		return nil, &chem.InputError{Field: "standard uncertainty of a reading", Value: "0", Want: "a number above 0, when that of volume is given"}
	}
	n := len(readings)
	f := &fitter{
		run:      &Titration{path: t.path.Clone(), probe: t.probe},
		readings: readings, how: how, unknowns: unknowns,
		residual: make([]float64, n), slope: make([]float64, n), sigma: make([]float64, n), weight: make([]float64, n),
		jacobian: mat.NewDense(n, len(unknowns), nil),
	}
	for k, u := range unknowns {
		if slices.Contains(unknowns[:k], u) {
			return nil, &chem.InputError{Field: string(u), Value: "there twice", Want: "each unknown once"}
		}
		m, x, err := t.move(u)
		if err != nil {
			return nil, err
		}
		if math.IsInf(x, 0) || math.IsNaN(x) {
			return nil, &chem.InputError{Field: "unknown", Value: string(u), Want: "something that the sample holds and the model does not leave out, for a start"}
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
	kind, species := "", ""
	for _, prefix := range []string{concentrationOf, acidConstantOf, formationOf} {
		if rest, ok := strings.CutPrefix(string(u), prefix); ok {
			kind, species = prefix, rest
		}
	}
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
		pK, along, ok := t.acid(j)
		if !ok {
			return bad("an acid: a species that has lost a proton in another")
		}
		m.logK = along
		return m, pK, nil
	}
	m.log = true
	start := math.Inf(1)
	for i, n := range p.Composition(j) {
		if m.start[i] = n * p.StartLitres(); n != 0 {
			start = min(start, p.Start(i)/m.start[i])
		}
	}
	return m, math.Log(start), nil
}

// scale is how fast what a parameter stands for changes with it.
func (m *move) scale(x float64) float64 {
	if m.log {
		return math.Exp(x)
	}
	return 1
}

// walk moves all parameters by part of a step, and the path with them.
func (f *fitter) walk(step []float64, part float64) {
	for k, d := range step {
		m := &f.moves[k]
		d *= part
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

// evaluate computes residuals, slopes of the curve and the Jacobian.
func (f *fitter) evaluate(ctx context.Context) error {
	for i, r := range f.readings {
		if err := ctx.Err(); err != nil {
			return err
		}
		p, err := f.run.at(r.ML, f.how.VolumeStandard > 0, nil)
		if err != nil {
			return err
		}
		f.residual[i], f.slope[i] = r.P-p.P-f.offset, p.SlopePerML
		if err := f.run.path.Gradient(f.run.probe, &f.gradient); err != nil {
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
	q, err := f.linearise(func(i int) float64 { return f.weight[i] })
	if err != nil {
		return nil, err
	}
	n, p := len(f.readings), len(f.unknowns)
	out := &Fit{Residuals: f.residual, Weights: f.weight}
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
