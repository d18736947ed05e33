package titration

import (
	"cmp"
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

// Unknown is what a fit shall find, as constants and functions here write it: "pKa of Hac".
type Unknown string

const (
	Strength Unknown = "strength of the titrant" // a factor on all that it holds, 1 at the start
	Offset   Unknown = "offset of the electrode" // what it reads too much, in units of the probe, 0 at the start

	concentration, acidConstant, formation = "concentration", "pKa", "log K" // of a species
)

// Concentration is that of a species in the sample, mol/L: as much as its components
// would make, however they are spread. The search starts at what the sample was made
// with, above 0, and moves them all: "Hac" brings as much H⁺ as acetate, "ac-" none.
func Concentration(species string) Unknown { return concentration + " of " + Unknown(species) }

// AcidConstant is −log10 K° of an acid, by formula or name, at zero ionic strength
// and the temperature of the sample; the search starts at the constant in use.
// What holds more protons moves along.
func AcidConstant(acid string) Unknown { return acidConstant + " of " + Unknown(acid) }

// FormationConstant is log10 K° of a dissolved species or a solid from its
// components, by formula or name, at zero ionic strength and the temperature of
// the sample: of a salt it is −log10 of the solubility product. The search starts at
// the constant in use, and moves it alone and alike at every ionic strength.
func FormationConstant(species string) Unknown { return formation + " of " + Unknown(species) }

// Fitting is how a fit weighs its readings.
type Fitting struct {
	// Standard is the standard uncertainty of a reading, in units of pH or pM, and
	// VolumeStandard that of each volume, which counts by the slope of the curve.
	// Where both are 0 the residuals tell.
	Standard       float64
	VolumeStandard unit.Volume
	// Robust gives less weight to readings that lie off, lest a few blunders drag the
	// answer along: the sum is of 2k²(√(1+(z/k)²) − 1), a smooth form of Huber's
	// function (P. J. Huber, Ann. Math. Statist. 35 (1964) 73), z being the residual
	// over its uncertainty. Where there are no blunders it costs 5 % of efficiency.
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
	Estimates []Estimate `json:"estimates"`   // in the order of the unknowns
	Residuals []float64  `json:"residuals_p"` // read less computed, of each reading
	Weights   []float64  `json:"weights"`     // of each reading: 1, or less where a robust fit mistrusts it
	// Scatter is the root mean square of the residuals over the uncertainties given,
	// near 1 when model and these hold; without given ones in units of the probe.
	Scatter float64 `json:"scatter"`
}

// Fit finds the unknowns that best explain readings of the probe, of which there must be more, by
// Gauss–Newton steps on exact derivatives, halved where a full one does not improve. Uncertainties
// are those of the linearised problem (A. Björck, Numerical Methods for Least Squares Problems,
// SIAM 1996); errors of what was not unknown (other constants, sample volume) are not in them.
func (t *Titration) Fit(ctx context.Context, readings []Reading, how Fitting, unknowns ...Unknown) (*Fit, error) {
	f, err := t.fitter(readings, how, unknowns)
	if err == nil {
		err = f.search(ctx)
	}
	if err != nil {
		return nil, err
	}
	return f.report()
}

// fitter is a fit under way. Its parameters are logarithms of concentrations and
// strength, which keeps them above 0, and constants and offset as they are.
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
	gradient                       path.Inputs
	spread                         float64 // that the weights refer to
}

// move is what a unit of an unknown (1 mol/L, a factor of 1) changes along the path.
type move struct {
	path.Inputs
	offset float64 // of the electrode
	log    bool    // the parameter is a logarithm
}

func (t *Titration) fitter(readings []Reading, how Fitting, unknowns []Unknown) (*fitter, error) {
	if err := t.ready(); err != nil {
		return nil, err
	}
	if len(unknowns) == 0 || len(readings) <= len(unknowns) {
		return nil, &chem.InputError{Field: "number of readings", Value: fmt.Sprintf("%d, of unknowns %d", len(readings), len(unknowns)), Want: "an unknown or more, and more readings than unknowns"}
	}
	least := 0.0
	if t.probe > 0 && t.path.Start[t.probe] == 0 {
		least = leastML // before the burette is opened there is none of the ion
	}
	for i, r := range readings {
		if err := r.check(i, least); err != nil {
			return nil, err
		}
	}
	const ofReading = "standard uncertainty of a reading"
	if err := cmp.Or(
		chem.Within(ofReading, how.Standard, 0, highestP, ""),
		chem.Within("standard uncertainty of volume", inML(how.VolumeStandard), 0, mostML, "mL"),
	); err != nil {
		return nil, err
	}
	if how.VolumeStandard > 0 && how.Standard == 0 {
		return nil, &chem.InputError{Field: ofReading, Value: "0", Want: "a number above 0, when that of volume is given"}
	}
	n := len(readings)
	f := &fitter{
		run:      &Titration{path: t.path.Clone(), probe: t.probe},
		readings: readings, how: how, unknowns: unknowns,
		residual: make([]float64, n), slope: make([]float64, n), sigma: make([]float64, n),
		weight: slices.Repeat([]float64{1}, n), jacobian: mat.NewDense(n, len(unknowns), nil),
	}
	for k, u := range unknowns {
		if slices.Contains(unknowns[:k], u) {
			return nil, &chem.InputError{Field: "unknown", Value: chem.Echo(string(u)), Want: "each unknown once"}
		}
		m, x, err := t.move(u)
		if err != nil {
			return nil, err
		}
		if math.IsInf(x, 0) || math.IsNaN(x) {
			return nil, &chem.InputError{Field: "unknown", Value: chem.Echo(string(u)), Want: "something that the sample holds and the model does not leave out, for a start"}
		}
		f.moves, f.x = append(f.moves, m), append(f.x, x)
	}
	return f, nil
}

// move finds what an unknown changes and where it starts.
func (t *Titration) move(u Unknown) (move, float64, error) {
	p := t.path
	m := move{Inputs: p.NewInputs()}
	switch u {
	case Strength:
		copy(m.Rate, p.Rate)
		m.log = true
		return m, 0, nil
	case Offset:
		m.offset = 1
		return m, 0, nil
	}
	kind, species, told := strings.Cut(string(u), " of ")
	if !told {
		return move{}, 0, &chem.InputError{Field: "unknown", Value: chem.Echo(string(u)), Want: `such as "pKa of Hac" or "log K of Ca(edta)2-"`}
	}
	j, err := p.FindSpecies(species)
	if err != nil {
		return move{}, 0, err
	}
	want := "one that this package makes"
	switch {
	case j < 0 || j >= len(p.Species) && kind != formation:
		want = "a species of this titration"
	case kind == formation:
		if i, err := p.Component(species); err != nil || i < 0 {
			m.LogK[j] = 1
			return m, p.StandardLog10K(j), nil
		}
		want = "a species that is made from components; this one is a component"
	case kind == acidConstant:
		if pK, along, ok := t.acid(j); ok {
			m.LogK = along
			return m, pK, nil
		}
		want = "an acid: a species that has lost a proton in another"
	case kind == concentration:
		m.log = true
		start := math.Inf(1)
		for i, n := range p.Composition(j) {
			if m.Start[i] = n * p.StartLitres; n != 0 {
				start = min(start, p.Start[i]/m.Start[i])
			}
		}
		return m, math.Log(start), nil
	}
	return move{}, 0, &chem.InputError{Field: "unknown", Value: chem.Echo(string(u)), Want: want}
}

// walk moves all parameters by part of a step, and the path with them.
func (f *fitter) walk(step []float64, part float64) {
	for k, d := range step {
		m := &f.moves[k]
		d *= part
		by := d
		if m.log {
			by = math.Exp(f.x[k]) * math.Expm1(d)
		}
		f.run.path.Shift(by, m.Inputs)
		f.offset += m.offset * by
		f.x[k] += d
	}
}

// evaluate computes residuals, slopes of the curve and the Jacobian.
func (f *fitter) evaluate(ctx context.Context) error {
	for i, r := range f.readings {
		g := &f.gradient
		p, err := f.run.at(r.ML, f.how.VolumeStandard > 0, nil)
		if err = cmp.Or(ctx.Err(), err, f.run.path.Gradient(f.run.probe, g)); err != nil {
			return err
		}
		f.residual[i], f.slope[i] = r.P-p.P-f.offset, p.SlopePerML
		for k, m := range f.moves {
			d := floats.Dot(m.Start, g.Start) + floats.Dot(m.Rate, g.Rate) + floats.Dot(m.LogK, g.LogK) + m.offset
			if m.log {
				d *= math.Exp(f.x[k])
			}
			f.jacobian.Set(i, k, d)
		}
	}
	return nil
}

func (f *fitter) report() (*Fit, error) {
	_, sds, err := f.linearise()
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
		sd := scale * sds[k]
		e := Estimate{u, f.x[k], sd, f.x[k] - reach*sd, f.x[k] + reach*sd}
		if f.moves[k].log {
			e = Estimate{u, math.Exp(e.Value), sd * math.Exp(e.Value), math.Exp(e.Low), math.Exp(e.High)}
		}
		out.Estimates = append(out.Estimates, e)
	}
	return out, nil
}
