package equilibrium

import "math"

// solids finds the active set: which solids are present. The amounts m are
// the multipliers of the constraints s·x ≤ ln Ks, and the dual function
// D(m) = min_x [φ(x) + m·(S x - ln Ks)] is concave, so this is the maximisation of
// a concave function over m ≥ 0. As in Lawson & Hanson's non-negative least
// squares (Solving Least Squares Problems, 1974, ch. 23), one most violated
// constraint enters at a time, a step that would make an amount negative
// stops where it is zero and drops it, and since D grows with each step
// no set comes back. first says that the present set is solved already.
func (w *Workspace) precipitate(first bool) error {
	p := &w.p
	k := p.solids.len()
	m := w.m[:k]
	var failed error
	lured := -1 // the last solid let in because of that
	for round := 0; round < 10+10*k; round++ {
		if round > 0 || !first {
			if err := w.solveSet(); err != nil {
				// totals that only a solid can meet send x off towards it
				at := w.oversaturated()
				if at < 0 || at == lured {
					at = w.needed(lured)
				}
				lured = at
				if failed = err; at < 0 || w.enter(int32(at)) != nil {
					return err
				}
				for r := range w.f.n {
					w.y[r] = -23 // where it was sent to is no place to start from
				}
				continue
			}
		}
		// amounts that the active solids want
		if !w.wanted() && w.f != &w.frames[1] {
			w.rechoose()
			w.equilibrate(10)
			w.wanted()
		}
		block, t := int32(-1), 1.0
		for _, a := range w.active {
			if want := w.want[a]; want < 0 {
				if s := m[a] / (m[a] - want); block < 0 || s < t {
					block, t = a, s
				}
			}
		}
		for _, a := range w.active {
			m[a] += t * (w.want[a] - m[a])
			if block < 0 {
				m[a] = w.want[a]
			}
		}
		if block >= 0 {
			w.leave(block)
			continue
		}
		at := w.oversaturated()
		if at < 0 {
			return nil
		}
		if err := w.enter(int32(at)); err != nil {
			return err
		}
	}
	if failed != nil {
		return failed
	}
	return &ComponentError{Component: int(p.comp[0]), Value: p.t[0], Err: ErrConvergence}
}

// wanted sets w.want, the amounts of the active solids: what of the fixed anchors'
// totals is not dissolved. It reports whether all of them are known to a
// few digits at least, the rounding of the balances considered.
func (w *Workspace) wanted() bool {
	f := w.f
	n := f.slots
	sharp := true
	clear(w.want)
	for i, a := range f.anchor[:n] {
		if a < solidBase {
			continue
		}
		d, size := f.tt[i], 0.0
		for j := range w.p.species.len() {
			if v := f.v[j*n+i]; v != 0 {
				d = d.fma(-v, w.c[j])
				size += math.Abs(v * w.c[j])
			}
		}
		w.want[a-solidBase] = d.hi
		sharp = sharp && math.Abs(d.hi) > 1e-6*size
	}
	return sharp
}

// oversaturated returns the inactive solid that exceeds saturation most, or -1.
func (w *Workspace) oversaturated() int {
	p, f := &w.p, w.f
	n := f.slots
	at, worst := -1, saturated
	for k := range p.solids.len() {
		if w.isActive(int32(k)) {
			continue
		}
		s := -p.b[k]
		row := f.v[(p.species.len()+k)*n:]
		for i := range n {
			s -= row[i] * f.off[i]
		}
		for r, i := range f.free[:f.n] {
			s += row[i] * w.y[r]
		}
		if s > worst {
			at, worst = k, s
		}
	}
	return at
}

// saturated is the rounding allowed in ln(Q/Ks).
const saturated = 1e-11

func (w *Workspace) isActive(k int32) bool {
	for _, a := range w.active {
		if a == k {
			return true
		}
	}
	return false
}

// enter makes solid k active. If its composition depends on that of the
// active ones, it takes the place of the one that runs out first.
func (w *Workspace) enter(k int32) error {
	p, f := &w.p, w.f
	n := f.slots
	row := f.v[(p.species.len()+int(k))*n:]
	independent := false
	for _, i := range f.free[:f.n] {
		independent = independent || math.Abs(row[i]) > 1e-9
	}
	if independent {
		w.active = append(w.active, k)
		w.m[k] = 0
		w.change()
		return nil
	}
	out, t := int32(-1), math.Inf(1)
	for i := range n {
		if a := f.anchor[i]; a >= solidBase && row[i] > 1e-9 {
			if s := w.m[a-solidBase] / row[i]; s < t {
				out, t = a-solidBase, s
			}
		}
	}
	if out < 0 {
		return &ComponentError{Component: int(p.solid[k]), Value: math.Inf(1), Err: ErrUnbounded}
	}
	for i := range n {
		if a := f.anchor[i]; a >= solidBase {
			w.m[a-solidBase] -= t * row[i]
		}
	}
	w.m[k] = t
	for i, a := range w.active {
		if a == out {
			w.active[i] = k
		}
	}
	w.m[out] = 0
	w.change()
	return nil
}

func (w *Workspace) leave(k int32) {
	for i, a := range w.active {
		if a == k {
			w.active = append(w.active[:i], w.active[i+1:]...)
			break
		}
	}
	w.m[k] = 0
	w.change()
}

// change carries the present point over to the frame of the active set.
func (w *Workspace) change() {
	w.original()
	w.enterFrame()
	w.locate()
}
