package titration

import (
	"context"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"example.com/chelation/chem"
)

// Where not said otherwise these are chosen by trial; what a fit finds does not
// depend on them.
const (
	knee           = 1.287  // where squares turn into lengths, for an efficiency of 0.95 with normal errors
	normalMedian   = 1.4826 // standard deviations to the median of absolute normal deviates, turned over
	settled        = 12     // iterations after which the spread stays, lest weights and spread chase each other
	mostIterations = 100
	mostTries      = 40    // dampings of one step
	longest        = 2.0   // change of a parameter in one step: of a logarithm of a concentration, of a constant
	finished       = 1e-6  // step in standard uncertainties at which to stop
	leastSpread    = 1e-12 // of residuals, for readings without error
	flat           = 1e-12 // relative rise of the sum that is rounding
	firstDamping   = 1e-3  // relative to squares of singular values of columns of length one
	leastDamping   = 1e-6
	leastEffect    = 1e-9 // units of the probe, or uncertainties, for a unit of a parameter
	alike          = 1e-8 // least over greatest singular value: beyond it a derivative's rounding decides
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

// scatter is the spread of residuals over their uncertainties that the weights
// refer to: 1 where uncertainties are given, and else the median's, which
// blunders do not move.
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
	// a normal distribution's median, and what fitting took from the residuals
	return max(normalMedian*math.Sqrt(n/(n-p))*z[len(z)/2], leastSpread)
}

// search walks down to the least sum of squares.
func (f *fitter) search(ctx context.Context) error {
	if err := f.evaluate(ctx, true); err != nil {
		return err
	}
	damping := 0.0
	for n := range mostIterations {
		if n < settled {
			f.spread = f.scatter()
		}
		if f.how.Robust {
			for i, r := range f.residual {
				f.weight[i] = 1 / math.Hypot(1, r/(f.sigma[i]*f.spread*knee))
			}
		}
		end, err := f.descend(ctx, &damping)
		if err != nil || end {
			return err
		}
	}
	return f.lost()
}

// lost tells that there is no way down.
func (f *fitter) lost() error {
	rms := math.Sqrt(f.sum() / float64(len(f.readings)))
	return &chem.InputError{Field: "fit", Value: fmt.Sprintf("lost at a scatter of %.3g", rms), Want: "a start nearer to the answer, or a sample that holds what was titrated"}
}

// descend takes one step, damped until it improves. end is true when it was too
// small to matter.
func (f *fitter) descend(ctx context.Context, damping *float64) (end bool, err error) {
	q, err := f.factor(f.curvature)
	if err != nil {
		return false, err
	}
	before, enough := f.sum(), finished*max(f.spread, finished)
	for range mostTries {
		delta := q.step(*damping)
		size := 0.0 // in standard uncertainties, at most
		for k, d := range delta {
			delta[k] = math.Copysign(min(math.Abs(d), longest), d)
			size = max(size, math.Abs(delta[k])/q.sd[k])
		}
		f.walk(delta, 1)
		if err := f.evaluate(ctx, false); err == nil && f.sum() <= before*(1+flat) {
			if *damping /= 10; *damping < leastDamping {
				*damping = 0
			}
			return size < enough && *damping == 0, f.evaluate(ctx, true)
		}
		if ctx.Err() != nil {
			return false, ctx.Err()
		}
		f.walk(delta, -1)
		if size < enough {
			return true, f.evaluate(ctx, true) // as low as rounding lets it
		}
		*damping = max(10**damping, firstDamping)
	}
	return false, f.lost()
}

// factored is the weighted Jacobian as U S Vᵀ, its columns scaled to length one.
type factored struct {
	u, v       mat.Dense
	s          []float64
	rows       *mat.VecDense // residuals, scaled to make up the gradient with the Jacobian
	length     []float64     // of the columns
	covariance mat.Dense     // of the parameters in units of 1/length
	sd         []float64     // standard uncertainty of each parameter, in units of the spread
}

// curvature is the second derivative of a reading's part of the sum by its
// residual, over that of a square.
func (f *fitter) curvature(i int) float64 { return f.weight[i] * f.weight[i] * f.weight[i] }

// factor decomposes the Jacobian, rows weighed by the curvature given.
func (f *fitter) factor(curvature func(int) float64) (*factored, error) {
	n, p := f.jacobian.Dims()
	j := mat.DenseCopyOf(f.jacobian)
	q := &factored{length: make([]float64, p), sd: make([]float64, p), rows: mat.NewVecDense(n, nil)}
	for i := range n {
		w := math.Sqrt(curvature(i))
		q.rows.SetVec(i, f.weight[i]*f.residual[i]/(f.sigma[i]*w))
		for k := range p {
			j.Set(i, k, w*j.At(i, k)/f.sigma[i])
		}
	}
	for k := range p {
		q.length[k] = mat.Norm(j.ColView(k), 2)
		if !(q.length[k] > leastEffect) {
			return nil, &chem.InputError{Field: string(f.unknowns[k]), Value: "without effect on the readings", Want: "an unknown that moves them"}
		}
		for i := range n {
			j.Set(i, k, j.At(i, k)/q.length[k])
		}
	}
	var svd mat.SVD
	if !svd.Factorize(j, mat.SVDThin) {
		return nil, f.lost()
	}
	q.s = svd.Values(nil)
	svd.UTo(&q.u)
	svd.VTo(&q.v)
	if q.s[p-1] < alike*q.s[0] {
		worst := 0
		for k := range p {
			if math.Abs(q.v.At(k, p-1)) > math.Abs(q.v.At(worst, p-1)) {
				worst = k
			}
		}
		return nil, &chem.InputError{Field: string(f.unknowns[worst]), Value: "not to be told from the other unknowns by the readings", Want: "unknowns that act each in its own way"}
	}
	var inverse mat.Dense
	inverse.Apply(func(_, l int, v float64) float64 { return v / q.s[l] }, &q.v)
	q.covariance.Mul(&inverse, inverse.T())
	for k := range p {
		q.sd[k] = math.Sqrt(q.covariance.At(k, k)) / q.length[k]
	}
	return q, nil
}

// step solves for the damped Gauss–Newton step.
func (q *factored) step(damping float64) []float64 {
	var along, step mat.VecDense
	along.MulVec(q.u.T(), q.rows)
	for l, s := range q.s {
		along.SetVec(l, along.AtVec(l)*s/(s*s+damping))
	}
	step.MulVec(&q.v, &along)
	out := make([]float64, len(q.length))
	for k, length := range q.length {
		out[k] = step.AtVec(k) / length
	}
	return out
}

// robustScale is the scale that makes the covariance of the weighted Jacobian
// that of the robust estimate: with ψ the derivative of the summed function, the
// mean of ψ² over the squared mean of ψ′, and the factor K for few readings (P.
// J. Huber, Ann. Statist. 1 (1973) 799, from memory). What the weights did to the
// Jacobian is divided out.
func (f *fitter) robustScale() float64 {
	squares, weight := 0.0, 0.0
	bends := make([]float64, len(f.residual))
	for i, r := range f.residual {
		psi := f.weight[i] * r / (f.sigma[i] * f.spread)
		squares += psi * psi
		bends[i] = f.curvature(i)
		weight += f.weight[i]
	}
	n, p := float64(len(f.residual)), float64(len(f.unknowns))
	bend, variance := stat.PopMeanVariance(bends, nil)
	k := 1 + p/n*variance/(bend*bend)
	return k * f.spread * math.Sqrt(squares/(n-p)) / bend * math.Sqrt(weight/n)
}
