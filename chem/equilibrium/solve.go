package equilibrium

import "math"

// Solve finds the equilibrium from nothing but the conditions. On an error r
// is left as it was.
func (w *Workspace) Solve(c *Conditions, r *Result) error {
	if err := w.prepare(c); err != nil {
		return err
	}
	w.guess()
	return w.finish(c, r)
}

// SolveFrom is [Workspace.Solve] starting from the concentrations in r, a
// previous answer to a similar problem. The answer does not depend on the
// start, only the time taken does.
func (w *Workspace) SolveFrom(c *Conditions, r *Result) error {
	if len(r.LnC) != w.sys.components {
		return w.Solve(c, r)
	}
	if err := w.prepare(c); err != nil {
		return err
	}
	w.guess()
	for k := range w.p.n {
		if v := r.LnC[w.p.comp[k]]; math.Abs(v) < 1e4 {
			w.x[k] = v
		}
	}
	for k := range w.p.solids.len() {
		if i := int(w.p.solid[k]); i < len(r.Solid) && r.Solid[i] > 0 {
			w.m[k] = r.Solid[i]
			w.active = append(w.active, int32(k))
		}
	}
	return w.finish(c, r)
}

func (w *Workspace) prepare(c *Conditions) error {
	if err := w.sys.check(c); err != nil {
		return err
	}
	if c.Activity {
		return &InputError{Field: "Activity", Index: -1, Value: 1, Want: "false without a Medium"}
	}
	w.solved = false
	return w.reduce(c)
}

func (w *Workspace) finish(c *Conditions, r *Result) error {
	w.iterations = 0
	var sum float64
	for _, t := range w.p.t[:w.p.n] {
		sum += math.Abs(t)
	}
	w.crowd = 1e-4 / max(sum, 1)
	w.reset()
	if len(w.active) > 0 {
		w.reframe(false)
	} else {
		w.locate()
	}
	if !w.equilibrate(12) {
		if i := w.tropical(); i >= 0 {
			return &ComponentError{Component: int(w.p.comp[i]), Value: w.p.t[i], Err: ErrInfeasible}
		}
	}
	if err := w.precipitate(); err != nil {
		return err
	}
	w.native()
	w.report(c, r)
	w.solved = true
	return nil
}

// report writes the answer and recomputes the balances from it.
func (w *Workspace) report(c *Conditions, r *Result) {
	s, p := w.sys, &w.p
	r.fit(s)
	for i, st := range w.state {
		switch st {
		case unknown:
			r.LnC[i] = w.x[p.back[i]]
		case held:
			r.LnC[i] = c.LnHeld[i]
		case removed:
			r.LnC[i] = math.Inf(-1)
		case exhausted:
			r.LnC[i] = math.Inf(1)
		}
	}
	clear(r.C)
	for j := range p.species.len() {
		r.C[p.spec[j]] = w.c[j]
	}
	clear(r.Solid)
	for k := range p.solids.len() {
		r.Solid[p.solid[k]] = w.m[k]
	}
	for k := range r.Saturation {
		if math.IsInf(c.LnKs[k], 1) {
			r.Saturation[k] = math.NaN()
			continue
		}
		v := -c.LnKs[k]
		for e := s.solids.start[k]; e < s.solids.start[k+1]; e++ {
			if x := r.LnC[s.solids.index[e]]; math.IsInf(x, 0) {
				v = math.Inf(-1)
				break
			} else {
				v += s.solids.coef[e] * x
			}
		}
		r.Saturation[k] = v
		if r.Solid[k] > 0 || v > 0 {
			r.Saturation[k] = 0
		}
	}
	size := w.size
	clear(size)
	clear(r.Total)
	s.species.addTo(r.Total, size, r.C)
	s.solids.addTo(r.Total, size, r.Solid)
	r.Residual = 0
	for i, st := range w.state {
		if st == unknown {
			r.Residual = max(r.Residual, math.Abs(r.Total[i]-c.Total[i])/(size[i]+math.Abs(c.Total[i])))
		}
	}
	r.Iterations = w.iterations
	r.Ionic = 0
}

// addTo adds Σ_j ν_j v_j to sum and Σ_j |ν_j v_j| to size.
func (m *rows) addTo(sum, size, v []float64) {
	for j, c := range v {
		for e := m.start[j]; e < m.start[j+1]; e++ {
			t := m.coef[e] * c
			sum[m.index[e]] += t
			size[m.index[e]] += math.Abs(t)
		}
	}
}
