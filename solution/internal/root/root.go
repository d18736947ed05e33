// Package root is the one root finder of the vessels and of all that stands on them, where no
// derivative is at hand; where one is, as in fits, steps are Newton's. The solver below,
// chem/equilibrium, halves an interval of I by itself, without allocation.
package root

import "math"

// lastDigit is twice the distance of two float64, relatively: no number to try lies between.
const lastDigit = 4e-16

// Between closes in on a sign change of f between a and b, where it is fa and fb, until f is within
// noise of zero or no number lies between: by false position with the weights of N. Anderson and Å.
// Björck, BIT 13 (1973) 253, and a bisection now and then where steps and kinks hold that up.
func Between(f func(float64) (float64, error), a, fa, b, fb, noise float64) (float64, error) {
	const patience, third, most = 6, 3, 200 // steps before every third bisects, and in all: chosen by trial
	for n := range most {
		if math.Abs(fb) <= noise || math.Abs(b-a) <= lastDigit*math.Abs(b) {
			break
		}
		c := b - fb*(b-a)/(fb-fa)
		if n >= patience && n%third == 2 || math.IsInf(fa, 0) || math.IsInf(fb, 0) {
			c = (a + b) / 2
		}
		if c == a || c == b { // where the chord cannot tell from it, it may be the far end
			return c, nil
		}
		fc, err := f(c)
		if err != nil {
			return 0, err
		}
		if (fc > 0) != (fb > 0) {
			a, fa = b, fb
		} else if w := 1 - fc/fb; w > 0 {
			fa *= w
		} else {
			fa /= 2
		}
		b, fb = c, fc
	}
	return b, nil
}

// From finds n in [0, most] where f is zero within noise, for an f that changes sign once and is
// nearly straight. scale is the size of its slope. It widens the interval from the first guess
// until it holds the root, then closes in. found is false when f keeps its sign up to most.
func From(f func(float64) (float64, error), scale, most, noise float64) (n float64, found bool, err error) {
	const beyond, least, farthest = 1.2, 1.01, 16 // of a secant, and of b, in one step: chosen by trial
	a := 0.0
	fa, err := f(a)
	if err != nil || math.Abs(fa) <= noise {
		return 0, err == nil, err
	}
	b := min(most, math.Abs(fa)/scale)
	fb, err := f(b)
	for ; err == nil && fa*fb > 0; fb, err = f(b) {
		if b >= most {
			return 0, false, nil
		}
		next := 2 * b
		if slope := (fb - fa) / (b - a); slope*fb < 0 {
			next = b - beyond*fb/slope // the secant, and a little more
		}
		a, fa = b, fb
		b = min(most, max(next, least*b), farthest*b)
	}
	if err != nil {
		return 0, false, err
	}
	n, err = Between(f, a, fa, b, fb, noise)
	return n, err == nil, err
}

// Last returns, to within tolerance, the last number from in to out at which a condition holds that
// fails at out.
func Last(in, out, tolerance float64, holds func(float64) (bool, error)) (float64, error) {
	for math.Abs(out-in) > tolerance {
		middle := (in + out) / 2
		if middle == in || middle == out {
			break
		}
		ok, err := holds(middle)
		if err != nil {
			return 0, err
		}
		if ok {
			in = middle
		} else {
			out = middle
		}
	}
	return in, nil
}
