package equilibrium

import "math"

// start sets a first guess for every unknown: its total, or 1e-7 mol/L where
// that says little. Newton's step control does the rest.
func (w *Workspace) start() {
	for k := range w.p.n {
		t := w.p.t[k]
		if t <= 0 {
			t = 1e-7
		}
		w.x[k] = math.Log(t)
	}
	clear(w.m)
}
