package equilibrium

import "math"

// A problem is what Newton sees of the conditions: the unknown components
// only. Components whose concentration is held are folded into the constants,
// components whose total is zero are gone with all that contains them.
type problem struct {
	n       int
	comp    []int32 // unknown -> component
	back    []int32 // component -> unknown or -1
	species rows
	spec    []int32   // living species -> species
	a       []float64 // ln K, held components folded in
	solids  rows
	solid   []int32
	b       []float64 // ln Ks likewise
	t       []float64 // totals
	uses    []int32   // species per unknown

	state     []uint8 // per component
	up, down  []bool  // per component: some species or solid counts positively, negatively
	alive     []bool  // per species
	on        []bool  // per solid
	lnK, lnKs []float64
	lnHeld    []float64

	// versions, for frames to tell whether they are up to date
	structure, constants, totals uint64
}

const (
	unknown = iota
	held
	removed   // total 0, occurs with positive coefficients only: ln c = -Inf
	exhausted // total 0, occurs with negative coefficients only: ln c = +Inf
)

func (p *problem) init(s *System) {
	n, m, k := s.components, s.Species(), s.Solids()
	f := func(n int) []float64 { return make([]float64, n) }
	i := func(n int) []int32 { return make([]int32, n) }
	*p = problem{
		comp: i(n), back: i(n), species: s.species.clone(), spec: i(m), a: f(m),
		solids: s.solids.clone(), solid: i(k), b: f(k), t: f(n), uses: i(n),
		state: make([]uint8, n),
		up:    make([]bool, n), down: make([]bool, n),
		alive: make([]bool, m), on: make([]bool, k),
		lnK: f(m), lnKs: f(k), lnHeld: f(n),
	}
}

func (m *rows) clone() rows {
	return rows{
		start: make([]int32, len(m.start)),
		index: make([]int32, len(m.index)),
		coef:  make([]float64, len(m.coef)),
	}
}

// pose brings the problem up to date with the conditions, doing no more than
// what has changed since the last time asks for.
func (w *Workspace) pose(c *Conditions) error {
	s, p := w.sys, &w.p
	if err := s.checkTotals(c); err != nil {
		return err
	}
	if len(c.LnK) != len(p.lnK) || len(c.LnKs) != len(p.lnKs) {
		return s.check(c)
	}
	same := p.structure > 0
	for i, st := range p.state {
		h := c.Held != nil && c.Held[i]
		if h != (st == held) || !h && p.expect(i, c.Total[i]) != st {
			same = false
			break
		}
	}
	fresh := true // constants are those of last time
	for j, v := range c.LnK {
		if v != p.lnK[j] {
			fresh = false
			break
		}
	}
	for k, v := range c.LnKs {
		fresh = fresh && v == p.lnKs[k]
	}
	if !fresh {
		if err := s.check(c); err != nil {
			return err
		}
		for j, v := range c.LnK {
			same = same && math.IsInf(v, -1) == math.IsInf(p.lnK[j], -1)
		}
		for k, v := range c.LnKs {
			same = same && math.IsInf(v, 1) == math.IsInf(p.lnKs[k], 1)
		}
	}
	for i, st := range p.state {
		if st == held && same && c.LnHeld[i] != p.lnHeld[i] {
			fresh = false
		}
	}
	if !same {
		// until the new structure stands, nothing of the old one may be used
		p.structure = 0
		if err := w.reduce(c); err != nil {
			return err
		}
	}
	if !same || !fresh {
		if err := w.constantsFrom(c); err != nil {
			p.structure = 0
			return err
		}
	}
	changed := !same
	for i, k := range p.comp[:p.n] {
		if t := c.Total[k]; t != p.t[i] {
			p.t[i] = t
			changed = true
		}
	}
	if changed {
		p.totals = w.next()
	}
	return nil
}

func (w *Workspace) next() uint64 {
	w.stamp++
	return w.stamp
}

// expect returns the state that total t gives component i under the present
// structure; a total that cannot be met gives one that differs from any.
func (p *problem) expect(i int, t float64) uint8 {
	switch {
	case t > 0 && p.up[i], t < 0 && p.down[i], t == 0 && p.up[i] && p.down[i]:
		return unknown
	case t == 0 && !p.down[i]:
		return removed
	case t == 0:
		return exhausted
	}
	return math.MaxUint8
}

// reduce finds the structure, and refuses totals whose sign nothing can give.
func (w *Workspace) reduce(c *Conditions) error {
	s, p := w.sys, &w.p
	for i := range p.state {
		p.state[i] = unknown
		if c.Held != nil && c.Held[i] {
			p.state[i] = held
		}
	}
	for j := range p.alive {
		p.alive[j] = !math.IsInf(c.LnK[j], -1)
	}
	for k := range p.on {
		p.on[k] = !math.IsInf(c.LnKs[k], 1)
	}
	for again := true; again; {
		again = false
		clear(p.up)
		clear(p.down)
		s.species.signs(p.alive, p.up, p.down)
		s.solids.signs(p.on, p.up, p.down)
		for i, st := range p.state {
			if st != unknown {
				continue
			}
			switch e := p.expect(i, c.Total[i]); e {
			case unknown:
			case removed, exhausted:
				p.state[i], again = e, true
				s.species.without(int32(i), p.alive)
				s.solids.without(int32(i), p.on)
			default:
				return &ComponentError{Component: i, Value: c.Total[i], Err: ErrInfeasible}
			}
		}
	}
	p.n = 0
	for i, st := range p.state {
		p.back[i] = -1
		if st == unknown {
			p.comp[p.n], p.back[i] = int32(i), int32(p.n)
			p.n++
		}
	}
	s.species.fold(&p.species, p.spec, p.alive, p.back)
	s.solids.fold(&p.solids, p.solid, p.on, p.back)
	clear(p.uses)
	for _, i := range p.species.index[:p.species.start[p.species.len()]] {
		p.uses[i]++
	}
	p.structure = w.next()
	return nil
}

// signs notes which components the rows that are on contribute to.
func (m *rows) signs(on, plus, minus []bool) {
	for r, ok := range on {
		if !ok {
			continue
		}
		for e := m.start[r]; e < m.start[r+1]; e++ {
			if m.coef[e] > 0 {
				plus[m.index[e]] = true
			} else {
				minus[m.index[e]] = true
			}
		}
	}
}

// without switches off the rows that contain component i.
func (m *rows) without(i int32, on []bool) {
	for r := range on {
		for e := m.start[r]; e < m.start[r+1]; e++ {
			if m.index[e] == i {
				on[r] = false
			}
		}
	}
}

// fold writes the rows that are on, over the unknown components, to out.
func (m *rows) fold(out *rows, name []int32, on []bool, back []int32) {
	out.start = out.start[:len(m.start)]
	at, n := int32(0), 0
	for r, ok := range on {
		if !ok {
			continue
		}
		for e := m.start[r]; e < m.start[r+1]; e++ {
			if i := back[m.index[e]]; i >= 0 {
				out.index[at], out.coef[at] = i, m.coef[e]
				at++
			}
		}
		name[n] = int32(r)
		n++
		out.start[n] = at
	}
	out.start = out.start[:n+1]
}

// constantsFrom folds the held concentrations into the constants.
func (w *Workspace) constantsFrom(c *Conditions) error {
	s, p := w.sys, &w.p
	copy(p.lnK, c.LnK)
	copy(p.lnKs, c.LnKs)
	if c.Held != nil {
		copy(p.lnHeld, c.LnHeld)
	}
	held := func(m *rows, r int32) float64 {
		var v float64
		for e := m.start[r]; e < m.start[r+1]; e++ {
			if i := m.index[e]; p.back[i] < 0 {
				v += m.coef[e] * c.LnHeld[i]
			}
		}
		return v
	}
	for j, r := range p.spec[:p.species.len()] {
		p.a[j] = c.LnK[r]
		if c.Held != nil {
			p.a[j] += held(&s.species, r)
		}
	}
	for k, r := range p.solid[:p.solids.len()] {
		p.b[k] = c.LnKs[r]
		if c.Held != nil {
			p.b[k] -= held(&s.solids, r)
		}
		if p.solids.start[k] == p.solids.start[k+1] && p.b[k] < 0 {
			return &ComponentError{Component: int(r), Value: -p.b[k], Err: ErrUnbounded}
		}
	}
	p.constants = w.next()
	return nil
}
