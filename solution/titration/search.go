package titration

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"example.com/chelation/chem"
)

// Chosen by trial, where not said otherwise; what a fit finds does not depend on them.
const (
	knee           = 1.287  // where squares turn into lengths, for an efficiency of 0.95 with normal errors
	normalMedian   = 1.4826 // standard deviations to the median of absolute normal deviates, turned over
	settled        = 12     // iterations after which the spread stays, lest weights and spread chase each other
	mostIterations = 100
	longest        = 2.0   // change of a parameter in one step: of a logarithm of a concentration, of a constant
	finished       = 1e-6  // step in standard uncertainties at which to stop
	leastSpread    = 1e-12 // of residuals, for readings without error
	flat           = 1e-12 // relative rise of the sum that is rounding
	leastEffect    = 1e-9  // units of the probe, or uncertainties, for a unit of a parameter
	alike          = 1e12  // condition of the normal equations beyond which rounding decides what is told apart
)

// sum is the sum of squares, or of what a robust fit puts in their place.
func (f *fitter) sum() float64 {
	sum := 0.0
	for i, r := range f.residual {
		z := r / (f.sigma[i] * f.spread)
		if f.how.Robust {
			q := z * z / (knee * knee)
			z = knee * math.Sqrt(2*q/(1+math.Sqrt(1+q))) // 2k²(√(1+q) − 1) without cancellation
		}
		sum += z * z
	}
	return sum
}

// scatter is the spread of residuals over their uncertainties: 1 where these are
// given, and else the median's, which blunders do not move.
func (f *fitter) scatter() float64 {
	if f.how.Standard > 0 {
		return 1
	}
	z := make([]float64, len(f.residual))
	for i, r := range f.residual {
		z[i] = math.Abs(r / f.sigma[i])
	}
	slices.Sort(z)
	n, p := float64(len(z)), float64(len(f.unknowns))
	// a normal distribution's median, the upper of two, and what fitting took from the residuals
	return max(normalMedian*math.Sqrt(n/(n-p))*z[len(z)/2], leastSpread)
}

// search walks down to the least sum of squares.
func (f *fitter) search(ctx context.Context) error {
	if err := f.evaluate(ctx); err != nil {
		return err
	}
	for n := range mostIterations {
		for i, slope := range f.slope {
			f.sigma[i] = cmp.Or(math.Hypot(f.how.Standard, slope*inML(f.how.VolumeStandard)), 1)
		}
		if n < settled {
			f.spread = f.scatter()
		}
		for i, r := range f.residual {
			if f.how.Robust {
				f.weight[i] = 1 / math.Hypot(1, r/(f.sigma[i]*f.spread*knee))
			}
		}
		if end, err := f.descend(ctx); err != nil || end {
			return err
		}
	}
	rms := math.Sqrt(f.sum() / float64(len(f.readings)))
	return &chem.InputError{Field: "fit", Value: fmt.Sprintf("lost at a scatter of %.3g", rms), Want: "a start nearer to the answer, or a sample that holds what was titrated"}
}

// descend takes one step, halved until it improves, and tells when it was too small.
func (f *fitter) descend(ctx context.Context) (end bool, err error) {
	step, sd, err := f.linearise()
	if err != nil {
		return false, err
	}
	part, size := 1.0, 0.0 // of the step; its size in standard uncertainties
	for k, d := range step {
		part, size = min(part, longest/math.Abs(d)), max(size, math.Abs(d)/sd[k])
	}
	before, enough := f.sum(), finished*max(f.spread, finished)
	for {
		f.walk(step, part)
		if err := f.evaluate(ctx); err == nil && f.sum() <= before*(1+flat) {
			return size < enough, nil
		}
		if ctx.Err() != nil {
			return false, ctx.Err()
		}
		f.walk(step, -part)
		if !(part*size >= enough) {
			return true, f.evaluate(ctx) // as low as rounding lets it
		}
		part /= 2
	}
}

// linearise solves the normal equations, with columns of length one, for the step of
// each parameter and its standard uncertainty in units of the spread.
func (f *fitter) linearise() (step, sd []float64, err error) {
	n, p := f.jacobian.Dims()
	weigh := func(i, _ int, x float64) float64 { return x * math.Sqrt(f.weight[i]) / f.sigma[i] }
	var j, rows mat.Dense
	j.Apply(weigh, f.jacobian)
	rows.Apply(weigh, mat.NewVecDense(n, f.residual))
	length := make([]float64, p)
	for k := range p {
		if length[k] = mat.Norm(j.ColView(k), 2); !(length[k] > leastEffect) {
			return nil, nil, &chem.InputError{Field: string(f.unknowns[k]), Value: "without effect on the readings", Want: "an unknown that moves them"}
		}
	}
	j.Apply(func(_, k int, d float64) float64 { return d / length[k] }, &j)
	var normal, covariance mat.SymDense
	var gradient, solved mat.VecDense
	normal.SymOuterK(1, j.T())
	gradient.MulVec(j.T(), rows.ColView(0))
	var c mat.Cholesky
	if !c.Factorize(&normal) || c.Cond() > alike || c.InverseTo(&covariance) != nil || c.SolveVecTo(&solved, &gradient) != nil {
		return nil, nil, &chem.InputError{Field: "set of unknowns", Value: "not to be told apart by the readings", Want: "unknowns that act each in its own way"}
	}
	for k, l := range length {
		step, sd = append(step, solved.AtVec(k)/l), append(sd, math.Sqrt(covariance.At(k, k))/l)
	}
	return step, sd, nil
}

// robustScale makes the covariance of the weighted Jacobian that of the robust
// estimate: the mean of ψ², the derivative of the summed function, over the squared
// mean of ψ′, and the factor K for few readings (P. J. Huber, Ann. Statist. 1 (1973)
// 799, from memory). What the weights did to the Jacobian is divided out.
func (f *fitter) robustScale() float64 {
	squares := 0.0
	bends := make([]float64, len(f.residual))
	for i, r := range f.residual {
		psi := f.weight[i] * r / (f.sigma[i] * f.spread)
		squares += psi * psi
		bends[i] = math.Pow(f.weight[i], 3) // second derivative, over that of a square
	}
	n, p := float64(len(f.residual)), float64(len(f.unknowns))
	bend, variance := stat.PopMeanVariance(bends, nil)
	k := 1 + p/n*variance/(bend*bend)
	return k * f.spread * math.Sqrt(squares/(n-p)) / bend * math.Sqrt(floats.Sum(f.weight)/n)
}
