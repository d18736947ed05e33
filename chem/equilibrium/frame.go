package equilibrium

import (
	"math"
	"slices"
)

// A frame writes the problem in other components: anchors. Any n species
// (or solids present) with independent compositions will do instead of the n
// original components; x, ν, ln K and T follow by linear algebra and φ does
// not change its value. In the frame of the most abundant species every mass
// balance is led by its anchor and carries no term that cancels in exact
// arithmetic, so each of them can be met to full relative precision. A
// saturated solid is an anchor of fixed "concentration", its amount being the
// anchor's total: the constraint is met by construction and the problem left is
// free of constraints.
type frame struct {
	n       int       // free coordinates
	species rows      // over the free coordinates
	a       []float64 // ln K over anchors, fixed anchors folded in
	t       []float64 // totals of the free anchors
	free    []int32   // free coordinate -> slot

	// The change of coordinates, one slot per unknown component.
	slots  int
	native bool      // anchors are the original components
	chosen bool      // some anchors are species
	anchor []int32   // slot -> species (≥ 0), component (^i < 0) or solid (solidBase+k)
	v      []float64 // rows of slots coefficients: species, then solids, then components
	tt     []double  // totals per slot
	off    []float64 // ln K of the anchor; minus ln Ks for a solid

	order []int32   // scratch: species by falling abundance
	row   []float64 // scratch
	set   []int32   // solids among the anchors

	structure, constants, totals uint64 // versions of the problem it was made for

	lay  layout
	fast fast
}

const solidBase = 1 << 24

func (f *frame) init(s *System) {
	n, m, k := s.components, s.Species(), s.Solids()
	f.species = rows{start: make([]int32, m+1), index: make([]int32, m*n), coef: make([]float64, m*n)}
	f.a, f.t = make([]float64, m), make([]float64, n)
	f.free, f.anchor = make([]int32, n), make([]int32, n)
	f.v = make([]float64, (m+k+n)*n)
	f.tt, f.off, f.row = make([]double, n), make([]float64, n), make([]float64, n)
	f.order, f.set = make([]int32, 0, m), make([]int32, 0, k)
	f.lay.init(n, m)
	f.fast.init(n, m)
}

// reset makes the original components the anchors of the frame in use.
func (w *Workspace) reset() {
	p, f := &w.p, w.f
	n := p.n
	f.slots, f.native, f.chosen = n, true, false
	m, k := p.species.len(), p.solids.len()
	clear(f.v[:(m+k+n)*n])
	p.species.scatter(f.v, n)
	p.solids.scatter(f.v[m*n:], n)
	for i := range n {
		f.v[(m+k+i)*n+i] = 1
		f.anchor[i] = ^int32(i)
	}
	f.set = f.set[:0]
	f.structure = p.structure
}

func (m *rows) scatter(dense []float64, n int) {
	for r := range m.len() {
		for e := m.start[r]; e < m.start[r+1]; e++ {
			dense[r*n+int(m.index[e])] = m.coef[e]
		}
	}
}

// enterFrame makes the solids present, and beyond them the original
// components, the anchors; it keeps the frames of a few active sets.
func (w *Workspace) enterFrame() {
	p := &w.p
	if len(w.active) == 0 {
		if w.f = &w.frames[0]; w.f.structure != p.structure {
			w.reset()
			w.settle()
			w.refresh()
			w.compile()
		}
		w.refresh()
		return
	}
	for i := range w.frames[2:4] {
		f := &w.frames[2+i]
		if f.structure == p.structure && slices.Equal(f.set, w.active) {
			w.f = f
			w.refresh()
			return
		}
	}
	w.f = &w.frames[2+w.victim]
	w.victim = (w.victim + 1) % 2
	w.reset()
	for _, k := range w.active {
		w.pivot(p.species.len()+int(k), solidBase+k)
	}
	w.f.set = append(w.f.set, w.active...)
	w.settle()
	w.refresh()
	w.compile()
}

// enterAbundant makes the solids present and then the most abundant species,
// by w.c, the anchors.
func (w *Workspace) enterAbundant() {
	p := &w.p
	w.f = &w.frames[1]
	f := w.f
	w.reset()
	m := p.species.len()
	for _, k := range w.active {
		w.pivot(m+int(k), solidBase+k)
	}
	f.order = f.order[:0]
	for j := range m {
		f.order = append(f.order, int32(j))
	}
	slices.SortFunc(f.order, func(a, b int32) int {
		switch x, y := w.c[a], w.c[b]; {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return int(a - b)
	})
	left := f.slots - len(w.active)
	for _, j := range f.order {
		if left == 0 {
			break
		}
		if w.pivot(int(j), j) {
			left--
		}
	}
	w.settle()
	w.refresh()
}

// pivot makes row r of f.v the anchor of one slot not yet taken; false if the
// row depends on the anchors already chosen.
func (w *Workspace) pivot(r int, anchor int32) bool {
	f := w.f
	n := f.slots
	at, big := -1, 0.0
	for i, v := range f.v[r*n : r*n+n] {
		if v = math.Abs(v); f.anchor[i] < 0 && v > 1e-6 {
			if anchor >= solidBase {
				v = 1 / float64(1+w.p.uses[i]) // keeps the rest sparse
			}
			if v > big {
				at, big = i, v
			}
		}
	}
	if at < 0 {
		return false
	}
	w.exchange(at, r, anchor)
	return true
}

// exchange makes row r of f.v the anchor of slot at.
func (w *Workspace) exchange(at, r int, anchor int32) {
	f := w.f
	n := f.slots
	row := f.row[:n]
	copy(row, f.v[r*n:r*n+n])
	f.anchor[at] = anchor
	f.native = false
	f.chosen = f.chosen || anchor < solidBase
	total := w.p.species.len() + w.p.solids.len() + n
	for q := range total {
		v := f.v[q*n : q*n+n]
		t := v[at]
		if t == 0 {
			continue
		}
		t /= row[at]
		for i, u := range row {
			if u == 0 || i == at {
				continue
			}
			z := v[i] - t*u
			if math.Abs(z) < 1e-11 {
				z = 0 // coefficients are small rationals: what is this small is rounding
			}
			v[i] = z
		}
		v[at] = t
	}
}

// settle derives the arrays that Newton works on from the slots.
func (w *Workspace) settle() {
	p, f := &w.p, w.f
	n := f.slots
	f.n = 0
	for i := range n {
		if f.anchor[i] < solidBase {
			f.free[f.n] = int32(i)
			f.n++
		}
	}
	f.species.start = f.species.start[:p.species.len()+1]
	e := int32(0)
	f.species.start[0] = 0
	for j := range p.species.len() {
		v := f.v[j*n : j*n+n]
		for r, i := range f.free[:f.n] {
			if u := v[i]; u != 0 {
				f.species.index[e], f.species.coef[e] = int32(r), u
				e++
			}
		}
		f.species.start[j+1] = e
	}
	f.constants, f.totals = 0, 0
	f.lay.ok = false
}

// refresh brings totals and constants of the frame in use up to date.
func (w *Workspace) refresh() {
	p, f := &w.p, w.f
	if f.totals != p.totals {
		f.totals = p.totals
		w.retotal()
	}
	if f.constants != p.constants {
		f.constants = p.constants
		w.reconstant()
		f.fast.known = false
	}
}

// retotal transforms the totals, in double the working precision: where
// they cancel, what is left is exact.
func (w *Workspace) retotal() {
	p, f := &w.p, w.f
	n := f.slots
	if f.native {
		for i, t := range p.t[:n] {
			f.tt[i] = double{hi: t}
			f.t[i] = t
		}
		return
	}
	clear(f.tt[:n])
	base := (p.species.len() + p.solids.len()) * n
	for i, t := range p.t[:n] {
		for k, v := range f.v[base+i*n : base+i*n+n] {
			if v != 0 {
				f.tt[k] = f.tt[k].fma(t, v)
			}
		}
	}
	for r, i := range f.free[:f.n] {
		f.t[r] = f.tt[i].hi
	}
}

// reconstant transforms the constants.
func (w *Workspace) reconstant() {
	p, f := &w.p, w.f
	m, n := p.species.len(), f.slots
	if f.native {
		copy(f.a, p.a[:m])
		clear(f.off[:n])
		return
	}
	w.prices(0)
	for j := range m {
		a := p.a[j]
		for i, v := range f.v[j*n : j*n+n] {
			a -= v * f.off[i]
		}
		f.a[j] = a
	}
	for i := range n {
		if a := f.anchor[i]; a >= 0 && a < solidBase {
			f.a[a] = 0
		}
	}
}

// prices sets what each anchor's ln K takes from those of the others, the anchors
// that are species being at the concentration e^-level.
func (w *Workspace) prices(level float64) {
	p, f := &w.p, w.f
	for i, a := range f.anchor[:f.slots] {
		switch {
		case a < 0:
			f.off[i] = 0
		case a >= solidBase:
			f.off[i] = -p.b[a-solidBase]
		default:
			f.off[i] = p.a[a] - level
		}
	}
}

// original sets w.x, the logarithms of the original components, from w.y.
func (w *Workspace) original() {
	p, f := &w.p, w.f
	n := f.slots
	if f.native {
		copy(w.x, w.y[:n])
		return
	}
	y := f.row[:n]
	for i := range n {
		y[i] = -f.off[i]
	}
	for r, i := range f.free[:f.n] {
		y[i] += w.y[r]
	}
	base := (p.species.len() + p.solids.len()) * n
	for i := range n {
		var s float64
		for k, v := range f.v[base+i*n : base+i*n+n] {
			s += v * y[k]
		}
		w.x[i] = s
	}
}

// locate sets w.y from w.x.
func (w *Workspace) locate() {
	p, f := &w.p, w.f
	for r, i := range f.free[:f.n] {
		a := f.anchor[i]
		if a < 0 {
			w.y[r] = w.x[^a]
			continue
		}
		y := p.a[a]
		for e := p.species.start[a]; e < p.species.start[a+1]; e++ {
			y += p.species.coef[e] * w.x[p.species.index[e]]
		}
		w.y[r] = y
	}
}
