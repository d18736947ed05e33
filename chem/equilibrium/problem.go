package equilibrium

import (
	"math"
	"slices"
)

// A problem is what Newton sees of the conditions: held components are folded into the
// constants, components whose total is zero are gone with all that contains them.
type problem struct {
	n       int
	comp    []int32 // unknown -> component
	back    []int32 // component -> unknown or -1
	species rows
	spec    []int32 // living species -> species
	group   []int32 // unknown -> start of the species that contain it and none before it
	powers  []power // what species are multiplied by as the unknowns change, the first being 1
	power   []int32 // species -> its power
	apart   int     // unknowns before it share no species and occur with positive coefficients only
	solids  rows
	solid   []int32
	t       []float64 // totals

	// the constants, held components folded in: as given and as they are now
	lnK, lnKs     []constant
	held          []constant // per component: ln of the concentration
	a, b          []float64
	kappa, kappaS []float64 // by ln I
	z2            []float64 // per living species

	state     []uint8 // per component
	up, down  []bool  // per component: some species or solid counts positively, negatively
	alive, on []bool  // per species, per solid
	given     given   // what the constants were folded from
	structure uint64  // version of all this but constants and totals
	link      []bool  // scratch
	degree    []int32
}

// A power is another one times a change: 2i of unknown i, 2i+1 what is divided by it.
type power struct {
	of, change  int32
	first, next int32 // of the powers that go on from it, and beside it; 0 is none
}

// A constant moves with ionic strength as in Medium.
type constant struct{ base, dz2, deps float64 }

const (
	unknown = iota
	held
	removed   // total 0, occurs with positive coefficients only: ln c = -Inf
	exhausted // total 0, occurs with negative coefficients only: ln c = +Inf
)

func (p *problem) init(s *System) {
	n, m, k := s.components, s.species.len(), s.solids.len()
	f := func(n int) []float64 { return make([]float64, n) }
	on := func(n int) []bool { return make([]bool, n) }
	*p = problem{
		comp: make([]int32, 0, n), back: make([]int32, n), t: f(n),
		lnK: make([]constant, m), lnKs: make([]constant, k), held: make([]constant, n),
		a: f(m), b: f(k), kappa: f(m), kappaS: f(k), z2: f(m),
		state: make([]uint8, n), up: on(n), down: on(n),
		alive: on(m), on: on(k), degree: make([]int32, n),
	}
}

// pose brings the problem up to date with the conditions, doing no more than what has changed
// asks for. It reports whether the species still stand.
func (w *Workspace) pose(c *Conditions, ionic float64) (same bool, err error) {
	s, p, m := w.sys, &w.p, c.Medium
	if err := s.checkTotals(c); err != nil {
		return false, err
	}
	same = p.structure > 0
	known := p.given.same(c)
	for i, st := range p.state {
		h := c.Held != nil && c.Held[i]
		same = same && h == (st == held) && (h || p.expect(i, c.Total[i]) == st)
		known = known && (!h || st == held && c.LnHeld[i] == p.held[i].base)
	}
	if same && known {
		p.pour(c)
		if m != nil && ionic != w.ionic {
			p.constants(m, ionic)
		}
		return ionic == w.ionic, nil
	}
	p.given.a = math.NaN()
	if err := s.checkConstants(c); err != nil {
		return false, err
	}
	_, constants := constantsOf(c)
	for i, was := range p.given.v[:2] {
		for j, v := range constants[i] {
			same = same && math.IsInf(v, 0) == math.IsInf(was[j], 0)
		}
	}
	if !same {
		// until the new structure stands, nothing of the old one may be used
		p.structure = 0
		if err := w.reduce(c, constants[0], constants[1]); err != nil {
			return false, err
		}
	}
	p.fold(s, c)
	copy(w.a0, p.a)
	p.constants(m, ionic)
	same = same && slices.Equal(w.a0[:p.species.len()], p.a[:p.species.len()])
	for k := range p.solids.len() {
		if p.solids.start[k] == p.solids.start[k+1] && p.b[k] < 0 {
			p.structure = 0
			return false, &ComponentError{Component: int(p.solid[k]), Value: -p.b[k], Err: ErrUnbounded}
		}
	}
	p.pour(c)
	p.given.keep(c)
	return same, nil
}

// pour sets the totals.
func (p *problem) pour(c *Conditions) {
	for i, k := range p.comp {
		p.t[i] = c.Total[k]
	}
}

// expect returns the state that total t gives component i, or none if it cannot be met.
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
func (w *Workspace) reduce(c *Conditions, lnK, lnKs []float64) error {
	s, p := w.sys, &w.p
	for i := range p.state {
		p.state[i] = unknown
		if c.Held != nil && c.Held[i] {
			p.state[i] = held
		}
	}
	for j, v := range lnK {
		p.alive[j] = !math.IsInf(v, -1)
	}
	for k, v := range lnKs {
		p.on[k] = !math.IsInf(v, 1)
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
	p.arrange(s)
	p.spec = s.species.fold(&p.species, p.spec, p.alive, p.back)
	p.solid = s.solids.fold(&p.solids, p.solid, p.on, p.back)
	p.n = len(p.comp)
	p.index()
	w.stamp++
	p.structure = w.stamp
	return nil
}

// arrange numbers the unknowns, so that eliminating them fills in little: first those that share
// no species with one another, as a rule the metals, then those that share with few others.
func (p *problem) arrange(s *System) {
	n := s.components
	p.link = fit(p.link, n*n)
	clear(p.link)
	clear(p.degree)
	m := &s.species
	for j, ok := range p.alive {
		if !ok {
			continue
		}
		row := m.index[m.start[j]:m.start[j+1]]
		for _, i := range row {
			for _, k := range row {
				if at := int(i)*n + int(k); !p.link[at] {
					p.link[at] = true
					p.degree[i]++
				}
			}
		}
	}
	p.comp = p.comp[:0]
	for i, st := range p.state {
		p.back[i] = -1
		if st == unknown {
			p.comp = append(p.comp, int32(i))
		}
	}
	slices.SortStableFunc(p.comp, func(i, k int32) int { return int(p.degree[i] - p.degree[k]) })
	p.apart = 0
	for at, i := range p.comp {
		alone := !p.down[i]
		for _, k := range p.comp[:p.apart] {
			alone = alone && !p.link[int(i)*n+int(k)]
		}
		if alone {
			copy(p.comp[p.apart+1:at+1], p.comp[p.apart:at])
			p.comp[p.apart] = i
			p.apart++
		}
	}
	for u, i := range p.comp {
		p.back[i] = int32(u)
	}
}

// index notes where the species of each unknown start, and the power of each species.
func (p *problem) index() {
	m := &p.species
	p.group, p.power = fit(p.group, p.n+1), fit(p.power, m.len())
	clear(p.group)
	p.powers = append(p.powers[:0], power{})
	for j := range p.power {
		at := int32(0)
		for e := m.start[j]; e < m.start[j+1]; e++ {
			change, v := 2*m.index[e], m.coef[e]
			if v < 0 {
				change++
			}
			for range int(math.Abs(v)) {
				at = p.times(at, change)
			}
		}
		p.power[j] = at
		if e := m.start[j]; e < m.start[j+1] {
			p.group[m.index[e]+1]++
		}
	}
	for i := range p.n {
		p.group[i+1] += p.group[i]
	}
}

// times returns the place of a power times one more change.
func (p *problem) times(at, change int32) int32 {
	k := p.powers[at].first
	for k > 0 && p.powers[k].change != change {
		k = p.powers[k].next
	}
	if k == 0 {
		k = int32(len(p.powers))
		p.powers = append(p.powers, power{of: at, change: change, next: p.powers[at].first})
		p.powers[at].first = k
	}
	return k
}

// fold folds what is held into the constants.
func (p *problem) fold(s *System, c *Conditions) {
	_, v := constantsOf(c)
	lnK, lnKs, dz2, deps, dz2s, depss := v[0], v[1], v[2], v[3], v[4], v[5]
	any := false
	for i, st := range p.state {
		if p.held[i] = (constant{}); st == held {
			any = true
			p.held[i] = constant{c.LnHeld[i], at(v[7], int32(i)), at(v[8], int32(i))}
		}
	}
	gather := func(out []constant, names []int32, m *rows, sign float64, base, dz2, deps []float64) {
		for j, r := range names {
			k := constant{base[r], at(dz2, r), at(deps, r)}
			for e := m.start[r]; any && e < m.start[r+1]; e++ {
				f, h := sign*m.coef[e], &p.held[m.index[e]]
				k.base += f * h.base
				k.dz2 += f * h.dz2
				k.deps += f * h.deps
			}
			out[j] = k
		}
	}
	gather(p.lnK, p.spec, &s.species, 1, lnK, dz2, deps)
	gather(p.lnKs, p.solid, &s.solids, -1, lnKs, dz2s, depss)
	for j, r := range p.spec {
		p.z2[j] = at(v[6], r)
	}
}

// constants sets the constants at an ionic strength.
func (p *problem) constants(m *Medium, ionic float64) {
	var d, e, dd float64
	if m != nil {
		slope, _ := m.Slopes(ionic)
		d, e, dd = math.Ln10*m.D(ionic), math.Ln10*ionic, math.Ln10*slope*ionic
	}
	set := func(from []constant, at, kappa []float64) {
		for j := range at {
			k := &from[j]
			at[j] = k.base + k.dz2*d - k.deps*e
			kappa[j] = k.dz2*dd - k.deps*e
		}
	}
	set(p.lnK, p.a[:len(p.spec)], p.kappa)
	set(p.lnKs, p.b[:len(p.solid)], p.kappaS)
}

// at returns the constant at ionic strength I.
func (k *constant) at(m *Medium, ionic float64) float64 {
	if m == nil {
		return k.base
	}
	return k.base + math.Ln10*(k.dz2*m.D(ionic)-k.deps*ionic)
}
