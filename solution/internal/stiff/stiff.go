// Package stiff integrates ordinary differential equations in which fast and slow things happen at
// once: the linearly implicit method of order two with an error estimate of order three of L. F.
// Shampine & M. W. Reichelt, SIAM J. Sci. Comput. 18 (1997) 1, section 3.1, a modified Rosenbrock
// formula that damps the fastest parts (L-stable). gonum has no integrator for initial values.
package stiff

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Problem is y' = f(y).
type Problem struct {
	Rates    func(y, dy []float64) error // writes f(y) to dy
	Relative float64                     // error of a step that is let pass, as a part of y
	Absolute []float64                   // error of each y below which nobody asks
}

// ErrStep says that the steps have become too small to go on.
var ErrStep = errors.New("steps too small")

// Bounds of an integration: smooth problems take some tens of steps, none so small a part of the
// span, of which rounding leaves a little in the end.
const mostSteps, smallest, rounding = 20000, 1e-18, 1e-13

// How a step follows from the error of the last one, a little less than it allows and not far from
// the last, and the part of the span, or of what is let pass, that the first takes: common
// practice, no source.
const shrinks, grows, careful, flawless, begins = 0.1, 5, 0.8, 1e-6, 1. / 10

// Constants of the formula, equation (5) of the paper.
var (
	d   = 1 / (2 + math.Sqrt2)
	e32 = 6 + math.Sqrt2
)

// Integrate carries y over a span of time, and calls seen at each step that was let pass with y at
// both ends, which it must not keep; it may mend a trace of the second.
func (p *Problem) Integrate(span float64, y []float64, seen func(y0, y1 []float64) error) error {
	n := len(y)
	f0, f1, f2, work := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
	next := make([]float64, n)
	jacobian := mat.NewDense(n, n, nil)
	if err := p.Rates(y, f0); err != nil {
		return err
	}
	h := p.first(span, y, f0)
	fresh, t := false, 0.0
	for range mostSteps {
		if span-t <= rounding*span {
			return nil
		}
		if h = min(h, span-t); h <= smallest*span {
			return ErrStep
		}
		if !fresh {
			if err := p.differentiate(y, f0, jacobian, work); err != nil {
				return err
			}
			fresh = true
		}
		off, err := p.step(h, y, f0, f1, f2, jacobian, work, next)
		if err != nil { // a step too far asks for what cannot be
			if h *= shrinks; h <= smallest*span {
				return err
			}
			continue
		}
		if off > 1 {
			h *= max(shrinks, careful*math.Pow(off, -1./3))
			continue
		}
		if seen != nil {
			if err := seen(y, next); err != nil {
				return err
			}
		}
		t += h
		copy(y, next)
		copy(f0, f2) // the formula ends where the next step begins
		fresh = false
		h *= min(grows, careful*math.Pow(max(off, flawless), -1./3))
	}
	return ErrStep
}

// scale is what the error of y[i] is measured by.
func (p *Problem) scale(i int, y float64) float64 { return p.Relative*math.Abs(y) + p.Absolute[i] }

// first guesses a step by how fast things move at the start.
func (p *Problem) first(span float64, y, f []float64) float64 {
	fastest := 0.0
	for i := range y {
		fastest = max(fastest, math.Abs(f[i])/p.scale(i, y[i]))
	}
	return min(begins*span, begins/max(fastest, 1/span))
}

// differentiate finds the derivatives of the rates, by differences.
func (p *Problem) differentiate(y, f0 []float64, jacobian *mat.Dense, work []float64) error {
	const part, trace = 1e-6, 1e-2 // of y, about the cube root of the last digit, and of what nobody asks for: judgement
	for k := range y {
		was := y[k]
		step := part*math.Abs(was) + p.Absolute[k]*trace
		y[k] += step
		err := p.Rates(y, work)
		y[k] = was
		if err != nil {
			return err
		}
		for i := range y {
			jacobian.Set(i, k, (work[i]-f0[i])/step)
		}
	}
	return nil
}

// step takes a step and returns its error in units of what is let pass.
func (p *Problem) step(h float64, y, f0, f1, f2 []float64, jacobian *mat.Dense, work, next []float64) (float64, error) {
	n := len(y)
	w := mat.NewDense(n, n, nil)
	w.Scale(-h*d, jacobian)
	for i := range n {
		w.Set(i, i, 1+w.At(i, i))
	}
	var lu mat.LU
	lu.Factorize(w)
	var k1, k2, k3, right, less mat.VecDense
	start, rate0, rate1 := mat.NewVecDense(n, y), mat.NewVecDense(n, f0), mat.NewVecDense(n, f1)
	if err := lu.SolveVecTo(&k1, false, rate0); err != nil {
		return 0, err
	}
	mat.NewVecDense(n, work).AddScaledVec(start, h/2, &k1)
	if err := p.Rates(work, f1); err != nil {
		return 0, err
	}
	right.SubVec(rate1, &k1)
	if err := lu.SolveVecTo(&k2, false, &right); err != nil {
		return 0, err
	}
	k2.AddVec(&k2, &k1)
	mat.NewVecDense(n, next).AddScaledVec(start, h, &k2)
	if err := p.Rates(next, f2); err != nil {
		return 0, err
	}
	less.SubVec(&k2, rate1)
	right.AddScaledVec(mat.NewVecDense(n, f2), -e32, &less)
	less.SubVec(&k1, rate0)
	right.AddScaledVec(&right, -2, &less)
	if err := lu.SolveVecTo(&k3, false, &right); err != nil {
		return 0, err
	}
	worst := 0.0
	for i := range n {
		off := h / 6 * (k1.AtVec(i) - 2*k2.AtVec(i) + k3.AtVec(i))
		worst = max(worst, math.Abs(off)/p.scale(i, max(math.Abs(y[i]), math.Abs(next[i]))))
	}
	return worst, nil
}
