package solution

import "math"

// root finds n in [0, most] where f is zero within noise, for an f that changes
// sign once and is nearly straight. scale is the size of its slope. It widens the
// interval from the first guess until it holds the root, then closes in by the
// method of false position with the weights of N. Anderson and Å. Björck, BIT
// 13 (1973) 253. found is false when f keeps its sign up to most.
func root(f func(float64) (float64, error), scale, most, noise float64) (n float64, found bool, err error) {
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
			next = b - 1.2*fb/slope // the secant, and a little beyond
		}
		a, fa = b, fb
		b = min(most, max(next, 1.01*b), 16*b)
	}
	if err != nil {
		return 0, false, err
	}
	for range 200 {
		if math.Abs(fb) <= noise || math.Abs(b-a) <= 4e-16*math.Abs(b) {
			return b, true, nil
		}
		c := b - fb*(b-a)/(fb-fa)
		fc, err := f(c)
		if err != nil {
			return 0, false, err
		}
		if fb*fc < 0 {
			a, fa = b, fb
		} else if w := 1 - fc/fb; w > 0 {
			fa *= w
		} else {
			fa /= 2
		}
		b, fb = c, fc
	}
	return b, true, nil
}
