package equilibrium

import "math"

// guess sets a first estimate of every unknown: its total, or 1e-7 mol/L where
// that says little.
func (w *Workspace) guess() {
	for k := range w.p.n {
		t := w.p.t[k]
		if t <= 0 {
			t = 1e-7
		}
		w.x[k] = math.Log(t)
	}
}

// tropical starts afresh from the answer to a linear problem that always ends:
//
//	maximise Σ_j (ln K_j + L) c_j - Σ_k ln Ks_k m_k   subject to ν c + Sᵀm = T, c, m ≥ 0,
//
// the Gibbs energy without the entropy of mixing, every species being taken at
// the one concentration e^-L. It tells which species and solids hold the
// totals when each constant is decisive; those become the anchors, and its
// prices are the start. The frame is the simplex tableau: f.a are the reduced
// costs and the anchors' totals the amounts, so an exchange of anchors is a
// pivot of the simplex method. It returns the slot of a balance that cannot be
// met, or -1.
func (w *Workspace) tropical() int {
	p := &w.p
	scale := 1e-10
	for _, t := range p.t[:p.n] {
		scale = max(scale, math.Abs(t))
	}
	level := math.Log(max(1e-12, min(1, scale)))
	w.active = w.active[:0]
	clear(w.m)
	w.f = &w.frames[1]
	// A little of every species is added so that no amount is zero by accident.
	short := w.simplex(1e-9*scale, level)
	for ; short == unbounded && level < 600; level += 10 {
		short = w.simplex(1e-9*scale, level+10) // species stable enough to exceed that concentration
	}
	if short >= 0 {
		return short
	}
	f := w.f
	for i, a := range f.anchor[:f.slots] {
		if a >= solidBase {
			w.active = append(w.active, a-solidBase)
			w.m[a-solidBase] = max(0, f.tt[i].hi)
		}
	}
	w.settle()
	w.refresh()
	for r := range f.n {
		w.y[r] = level
	}
	return -1
}

// edge reports whether the totals lie on the edge of what can be met, so that
// some species would have to vanish, or beyond it: whether they can no longer
// be met with a little less of every species, in proportion to the totals that
// it draws on. It is asked only where Newton has failed, and leaves the
// present frame and point alone.
func (w *Workspace) edge() bool {
	_, short := w.vertex()
	return short >= 0
}

// needed returns the next inactive solid after last, in turn, if such totals
// take one, or -1.
func (w *Workspace) needed(last int) int {
	f, short := w.vertex()
	if short >= 0 {
		return -1
	}
	k := w.p.solids.len()
	for i, a := range f.anchor[:f.slots] {
		if a < solidBase || !(f.tt[i].hi > 0) || w.isActive(a-solidBase) {
			continue
		}
		for turn := range k {
			if at := (last + 1 + turn) % k; !w.isActive(int32(at)) {
				return at
			}
		}
	}
	return -1
}

// vertex runs the simplex method for the edge in a frame of its own.
func (w *Workspace) vertex() (f *frame, short int) {
	present := w.f
	f = &w.frames[len(w.frames)-1]
	w.f = f
	short = w.simplex(0, 0)
	f.structure = 0
	w.f = present
	return f, short
}

const (
	met       = -1
	unbounded = -2
)

// simplex pivots the frame in use to the optimum for the totals with extra of
// every species added (with 0, a little taken away, see edge), and leaves the
// amounts of the anchors in its totals. It returns the slot of a balance that
// cannot be met, met or unbounded.
func (w *Workspace) simplex(extra, level float64) int {
	p, f := &w.p, w.f
	m, k := p.species.len(), p.solids.len()
	w.reset()
	n := f.slots
	amount := f.tt[:n] // in double the working precision, so that what cancels does
	for i, t := range p.t[:n] {
		amount[i] = double{hi: t}
	}
	var largest float64
	for _, t := range p.t[:n] {
		largest = max(largest, math.Abs(t))
	}
	if largest == 0 {
		largest = 1 // nothing sets a scale
	}
	for j := range m {
		row := f.v[j*n : j*n+n]
		add := extra
		if extra == 0 {
			add = math.Inf(1)
			for i, v := range row {
				switch t := math.Abs(p.t[i]); {
				case v != 0 && t != 0:
					add = min(add, t)
				case v != 0:
					add = min(add, 0.01*largest)
				}
			}
			add *= -1e-12
		}
		for i, v := range row {
			if v != 0 {
				amount[i] = amount[i].fma(v, add*(1+float64(j%7)/16))
			}
		}
	}
	for range 60 + 20*n {
		w.prices(level)
		short := -1
		for i := range n {
			if amount[i].hi < 0 || f.anchor[i] < 0 {
				short = i
				break
			}
		}
		enter, gain := -1, 1e-9
		for r := range m + k {
			row := f.v[r*n : r*n+n]
			var g float64
			if short >= 0 {
				// make up what is missing first
				for i, v := range row {
					switch {
					case amount[i].hi < 0:
						g -= v
					case f.anchor[i] < 0:
						g += v
					}
				}
			} else {
				if r < m {
					g = p.a[r] - level
				} else {
					g = -p.b[r-m]
				}
				for i, v := range row {
					g -= v * f.off[i]
				}
			}
			if g > gain {
				enter, gain = r, g
			}
		}
		if enter < 0 {
			if short >= 0 {
				return short
			}
			break
		}
		row := f.v[enter*n : enter*n+n]
		leave, t := -1, math.Inf(1)
		for i, v := range row {
			if math.Abs(v) < 1e-9 {
				continue
			}
			a := amount[i].hi
			s := a / v
			if f.anchor[i] < 0 && a == 0 {
				s = 0
			} else if v < 0 && a >= 0 || v > 0 && a < 0 {
				continue
			}
			if s < t {
				leave, t = i, s
			}
		}
		if leave < 0 {
			return unbounded
		}
		moved := amount[leave].over(row[leave])
		for i, v := range row {
			if v != 0 {
				amount[i] = amount[i].fma(-v, moved.hi).fma(-v, moved.lo)
			}
		}
		amount[leave] = moved
		id := int32(enter)
		if enter >= m {
			id = solidBase + int32(enter-m)
		}
		w.exchange(leave, enter, id)
	}
	return met
}
