package equilibrium

import (
	"math"
	"slices"
)

// Solve finds the equilibrium from nothing but the conditions. On an error r
// is left as it was.
func (w *Workspace) Solve(c *Conditions, r *Result) error {
	if err := w.prepare(c); err != nil {
		return err
	}
	return w.cold(c, r)
}

// SolveFrom is [Workspace.Solve] starting from the concentrations and solids in r,
// a previous answer to a similar problem; if it is the workspace's own last
// answer, all the better. The answer does not depend on the start, only the
// time taken does.
func (w *Workspace) SolveFrom(c *Conditions, r *Result) error {
	if len(r.LnC) != w.sys.components || len(r.Solid) != w.sys.Solids() {
		return w.Solve(c, r)
	}
	own := w.solved && slices.Equal(r.LnC, w.written)
	if err := w.prepare(c); err != nil {
		return err
	}
	p := &w.p
	if !own {
		for i, k := range p.comp[:p.n] {
			if w.x[i] = r.LnC[k]; !(math.Abs(w.x[i]) < 1e3) {
				return w.cold(c, r)
			}
		}
	}
	w.active = w.active[:0]
	for k, s := range p.solid[:p.solids.len()] {
		if w.m[k] = r.Solid[s]; w.m[k] > 0 && len(w.active) < p.n {
			w.active = append(w.active, int32(k))
		} else {
			w.m[k] = 0
		}
	}
	w.f = &w.frames[0]
	w.enterFrame()
	if len(w.f.set) < len(w.active) || w.f.n+len(w.active) != p.n {
		return w.cold(c, r) // solids that depend on one another
	}
	if w.ready() {
		if own = own && w.quick == w.f; !own {
			w.locate()
			w.take()
			if w.pass(); !(w.logs() < far) {
				return w.cold(c, r)
			}
		}
		switch w.hurry(own) {
		case solved:
			return w.finish(c, r, true)
		case near:
			w.land()
			return w.finish(c, r, false)
		}
		return w.cold(c, r)
	}
	w.locate()
	if w.evaluate(); w.log() < far && w.equilibrate(20) {
		return w.finish(c, r, true)
	}
	return w.cold(c, r)
}

// far is how many ln units a balance may be off for a start to be worth more
// than none.
const far = 12

func (w *Workspace) prepare(c *Conditions) error {
	if c.Activity {
		return &InputError{Field: "Activity", Index: -1, Value: 1, Want: "false without a Medium"}
	}
	w.solved, w.iterations = false, 0
	return w.pose(c)
}

// cold starts without an estimate.
func (w *Workspace) cold(c *Conditions, r *Result) error {
	p := &w.p
	w.active = w.active[:0]
	clear(w.m)
	w.enterFrame()
	tried := w.ready()
	if tried {
		w.opening()
		switch w.hurry(false) {
		case solved:
			return w.finish(c, r, true)
		case near:
			w.land()
			return w.finish(c, r, false)
		}
	}
	var sum float64
	for _, t := range p.t[:p.n] {
		sum += math.Abs(t)
	}
	w.crowd = 1e-4 / max(sum, 1)
	done := false
	if !tried {
		w.guess()
		w.locate()
		done = w.equilibrate(12)
	}
	if !done {
		if i := w.tropical(); i >= 0 {
			return &ComponentError{Component: int(p.comp[i]), Value: p.t[i], Err: ErrInfeasible}
		}
	}
	return w.finish(c, r, done)
}

// finish settles the solids and reports. done says that the present active set
// is solved; on the fast path its answer is still to be fetched.
func (w *Workspace) finish(c *Conditions, r *Result, done bool) error {
	if done && w.quick == w.f {
		w.land()
		done = w.f.native || w.closes(false)
	}
	if err := w.precipitate(done); err != nil {
		return err
	}
	w.original()
	w.report(c, r)
	w.conclude(r)
	return nil
}

// conclude remembers r as the workspace's own answer.
func (w *Workspace) conclude(r *Result) {
	w.solved, w.der.current, w.medium = true, false, nil
	copy(w.written, r.LnC)
}

// report writes the answer and recomputes the balances from it.
func (w *Workspace) report(c *Conditions, r *Result) {
	s, p := w.sys, &w.p
	r.fit(s)
	for i, st := range p.state {
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
	if m := p.species.len(); m == len(r.C) {
		copy(r.C, w.c)
	} else {
		clear(r.C)
		for j, at := range p.spec[:m] {
			r.C[at] = w.c[j]
		}
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
	if w.quick == w.f && w.f.native && p.n == s.components {
		w.sumsTo(r.Total, size) // the last pass has them
	} else {
		clear(size)
		clear(r.Total)
		s.species.addTo(r.Total, size, r.C)
		s.solids.addTo(r.Total, size, r.Solid)
	}
	r.Residual = 0
	for i, st := range p.state {
		if st != unknown {
			continue
		}
		off, whole := math.Abs(r.Total[i]-c.Total[i]), size[i]+math.Abs(c.Total[i])
		if !(off <= r.Residual*whole) {
			r.Residual = max(r.Residual, off/whole)
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
