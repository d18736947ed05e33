package equilibrium

import (
	"math"
	"slices"

	"example.com/chelation/chem"
)

// Solve finds the equilibrium from nothing but the conditions. On an error r is left as it was.
func (w *Workspace) Solve(c *Conditions, r *Result) error {
	return w.solve(c, r, false)
}

// SolveFrom is [Workspace.Solve] starting from r, an answer to a similar problem; if it is the
// workspace's own last one, all the better. Only the time taken depends on the start.
func (w *Workspace) SolveFrom(c *Conditions, r *Result) error {
	return w.solve(c, r, true)
}

func (w *Workspace) solve(c *Conditions, r *Result, warm bool) error {
	if w == nil || w.sys == nil || w.sys.components == 0 {
		return &chem.InputError{Field: "workspace", Value: "empty", Want: "one of a system that New has made"}
	}
	m, ionic := c.Medium, 0.0
	warm = warm && len(r.LnC) == w.sys.components && len(r.Solid) == w.sys.solids.len() && (m == nil || r.Ionic > 0)
	switch {
	case m != nil && warm:
		ionic = r.Ionic
	case m != nil:
		ionic = firstGuess
	}
	here, err := w.prepare(c, ionic, r)
	if err != nil {
		return err
	}
	if w.medium = m; !warm || !w.resume(r, here) {
		err = w.cold()
		if err != nil && m != nil {
			err = w.bisect(m)
		}
		if err != nil {
			return err
		}
	}
	return w.report(r)
}

// prepare poses the problem, and reports whether w still stands at the answer in r, its last one.
func (w *Workspace) prepare(c *Conditions, ionic float64, r *Result) (here bool, err error) {
	here = w.solved && slices.Equal(r.LnC, w.written)
	w.solved, w.near, w.full, w.iterations = false, false, false, 0
	same, err := w.pose(c, ionic)
	w.ionic = ionic
	return here && same, err
}

const (
	far    = 12. // ln units that a balance may be off for a start to be worth more than none
	beyond = 1e3 // ln units: no start
	dash   = 25  // steps that Newton's method is given from a start that may be poor, twice after sweeps
	remote = 1e6 // ln units: from there on no float64 tells a concentration to 1e-10
	rounds = 9   // of sweeps, each twice as many as the last
	soon   = 2   // the round after which what is remote stays so
)

// resume solves from r, and reports whether it could.
func (w *Workspace) resume(r *Result, here bool) bool {
	p := &w.p
	w.active = w.active[:0]
	for k, s := range p.solid {
		if w.m[k] = r.Solid[s]; w.m[k] > 0 {
			w.active = append(w.active, int32(k))
		}
	}
	if !here {
		for i, k := range p.comp {
			if w.x[i] = r.LnC[k]; !(math.Abs(w.x[i]) < beyond) {
				return false
			}
		}
	}
	if w.b.version != p.structure || !slices.Equal(w.b.set, w.active) {
		w.enter(false)
	}
	if len(w.b.set) < len(w.active) {
		return false // solids that depend on one another
	}
	if w.retotal(); !here {
		w.evaluate()
	}
	w.near = here
	theta := w.imbalance()
	well := theta < far && w.rests(theta)
	if w.near = false; well && here {
		w.bend.learn(w)
	}
	return well
}

// rests solves from w.x, off by theta, with the solids that form and dissolve, if it can.
func (w *Workspace) rests(theta float64) bool {
	return w.newton(theta, dash) && w.precipitate(false) == nil && w.closes()
}

// retotal brings the totals of the balances up to date.
func (w *Workspace) retotal() {
	for i := range w.b.t {
		if w.b.native {
			w.b.t[i] = double{hi: w.p.t[i]}
		} else {
			w.b.t[i] = w.b.total(i, w.p.t)
		}
	}
}

// cold starts without an estimate.
func (w *Workspace) cold() error {
	p := &w.p
	w.wary = true
	w.clear()
	w.guess()
	w.hasty = true
	near := w.newton(w.imbalance(), dash)
	w.hasty = false
	if near && w.precipitate(false) == nil && w.closes() {
		return nil
	}
	if w.medium != nil || w.full {
		return w.failure(ErrConvergence)
	}
	switch at := w.tropical(); {
	case at >= 0:
		return &ComponentError{Component: int(p.comp[at]), Value: p.t[at], Err: ErrInfeasible}
	case at == unfinished:
		return w.failure(ErrConvergence)
	case at == unbounded:
		return &ComponentError{Component: int(p.comp[0]), Value: crowded, Err: ErrCrowded, Iterations: w.iterations}
	}
	err := w.precipitate(true)
	if err == nil && !w.closes() {
		err = w.failure(ErrConvergence)
	}
	return err
}

// clear starts without solids, from the original components.
func (w *Workspace) clear() {
	w.active = w.active[:0]
	clear(w.m)
	w.enter(false)
	w.retotal()
}

// solveSet solves for the present active set from w.x. If Newton's method fails and there is
// patience, it goes back and sweeps down the convex φ, which is progress, until that works.
func (w *Workspace) solveSet(patient bool) error {
	copy(w.safe, w.x[:w.p.n])
	if w.newton(w.imbalance(), dash) {
		return nil
	}
	if !patient || w.full {
		return w.failure(ErrConvergence)
	}
	for round := 0; round < rounds && !w.full; round++ {
		w.wary = round > soon && round%2 == 1 // near the answer bold steps lead to it where none makes F smaller
		copy(w.x, w.safe[:w.p.n])
		w.evaluate()
		for n := 0; n < 1<<round && !w.full; n++ {
			w.sweep()
			w.overfull()
		}
		w.enter(true)
		copy(w.safe, w.x[:w.p.n])
		if !w.full && w.newton(w.imbalance(), 2*dash) {
			return nil
		}
		w.full = w.full || round == soon && largest(w.safe[:w.p.n]) > remote
	}
	return w.failure(ErrConvergence)
}

// failure names the component whose balance is furthest off, or a crowded species.
func (w *Workspace) failure(sentinel error) error {
	if w.full {
		return w.crowded()
	}
	p := &w.p
	at, big := 0, -1.0
	for i, v := range w.f[:p.n] {
		if v = math.Abs(v); v > big {
			at, big = i, v
		}
	}
	return &ComponentError{Component: int(p.comp[at]), Value: p.t[at], Err: sentinel, Iterations: w.iterations}
}

// crowded names a component of the most abundant species, or one too far away to tell.
func (w *Workspace) crowded() error {
	p, c, m := &w.p, w.c[:len(w.p.spec)], &w.sys.species
	top := slices.Max(c)
	at := m.index[m.start[p.spec[slices.Index(c, top)]]]
	for i, x := range w.safe[:p.n] {
		if top <= crowded && math.Abs(x) > remote {
			at, top = p.comp[i], math.Exp(x)
		}
	}
	return &ComponentError{Component: int(at), Value: top, Err: ErrCrowded, Iterations: w.iterations}
}

// closes reports whether the balances of the components are met, if need be in other anchors.
func (w *Workspace) closes() bool {
	if w.medium != nil && w.ionic > crowded {
		return false // the problem with I has more roots than the one that counts
	}
	if w.balance() <= tolerance {
		return true
	}
	w.enter(true)
	return w.newton(w.imbalance(), few) && w.precipitate(false) == nil && w.balance() <= tolerance
}

// balance recomputes the totals from the answer and returns how far they are off.
func (w *Workspace) balance() float64 {
	s, p := w.sys, &w.p
	for i, k := range p.comp { // both sides of the balances, where they are those of the components
		up, down := w.side[2*i], w.side[2*i+1]
		w.sum[k], w.size[k] = up-down, up+down
	}
	gather := func(m *rows, name []int32, amount []float64) {
		for j, r := range name {
			c := amount[j]
			for e := m.start[r]; e < m.start[r+1]; e++ {
				t := m.coef[e] * c
				w.sum[m.index[e]] += t
				w.size[m.index[e]] += math.Abs(t)
			}
		}
	}
	if !w.b.native || p.n < s.components {
		clear(w.sum)
		clear(w.size)
		gather(&s.species, p.spec, w.c)
		gather(&s.solids, p.solid, w.m)
	}
	w.residual = 0
	for i, k := range p.comp {
		if r := math.Abs(w.sum[k]-p.t[i]) / (w.size[k] + math.Abs(p.t[i])); !(r <= w.residual) {
			w.residual = r
		}
	}
	return w.residual
}

// report writes the answer, if water holds it.
func (w *Workspace) report(r *Result) error {
	p := &w.p
	if largest(w.c[:len(p.spec)]) > crowded {
		return w.crowded()
	}
	n, m, solids := w.sys.components, w.sys.species.len(), w.sys.solids.len()
	r.LnC, r.C, r.Total = fit(r.LnC, n), fit(r.C, m), fit(r.Total, n)
	r.Solid, r.Saturation = fit(r.Solid, solids), fit(r.Saturation, solids)
	for i, st := range p.state {
		switch st {
		case unknown:
			r.LnC[i] = w.x[p.back[i]]
		case held:
			r.LnC[i] = p.held[i].at(w.medium, w.ionic)
		case removed:
			r.LnC[i] = math.Inf(-1)
		case exhausted:
			r.LnC[i] = math.Inf(1)
		}
	}
	if len(p.spec) < len(r.C) {
		clear(r.C)
	}
	c, from := r.C, w.c
	for j, at := range p.spec {
		c[at] = from[j]
	}
	for k, lnKs := range p.given.v[1] {
		r.Solid[k], r.Saturation[k] = 0, math.Inf(-1)
		if math.IsInf(lnKs, 1) {
			r.Saturation[k] = math.NaN()
		}
	}
	for k, at := range p.solid {
		r.Solid[at], r.Saturation[at] = w.m[k], 0
		if w.m[k] == 0 {
			r.Saturation[at] = min(p.solids.dot(k, w.x)-p.b[k], 0)
		}
	}
	copy(r.Total, w.sum)
	r.Residual, r.Iterations, r.Ionic = w.residual, w.iterations, w.ionic
	w.solved, w.der.differentiated = true, false
	copy(w.written, r.LnC)
	return nil
}
