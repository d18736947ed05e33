package titration

import "math"

// crossing closes in on a sign change of f between a and b, where it is fa and
// fb, by false position with the weights of Anderson and Björck (BIT 13 (1973)
// 253), with a bisection now and then against steps and kinks.
func crossing(a, fa, b, fb float64, f func(float64) (float64, error)) (float64, error) {
	for n := range 200 {
		if fb == 0 || math.Abs(b-a) <= 1e-13*math.Abs(b)+1e-300 {
			break
		}
		c := b - fb*(b-a)/(fb-fa)
		if n%3 == 2 || math.IsInf(fa, 0) || math.IsInf(fb, 0) {
			c = (a + b) / 2
		}
		if c == a || c == b {
			break
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
