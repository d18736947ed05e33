package equilibrium

import "math"

// A Workspace holds everything a solve writes to, so that solving allocates
// nothing. It belongs to one goroutine at a time.
type Workspace struct {
	sys *System
	p   tableau // the problem with held and absent components folded away

	f frame // the components in use

	x           []float64 // ln c of the unknown original components
	y, y0, safe []float64 // ln c of the free anchors
	c           []float64 // species, mol/L
	pos, neg    []float64 // both sides of the balances
	F, d, g     []float64
	wp, wn      []float64
	rhs, size   []float64
	j           []float64 // n×n
	perm        []int32
	m, want     []float64 // solids: amounts
	active      []int32   // solids present
	state       []uint8   // per component: see reduce
	alive       []bool    // per species
	lnK         []float64
	lnKs        []float64
	lnHeld      []float64
	at          Conditions // what holds at the current ionic strength
	trial       Result
	iterations  int
	crowd       float64 // L/mol: amounts above its inverse count as crowded
	solved      bool
}

// tableau is the problem that Newton sees: unknown components only.
type tableau struct {
	n       int
	comp    []int32 // reduced index -> component
	back    []int32 // component -> reduced index or -1
	uses    []int32 // species per component
	species rows
	spec    []int32   // reduced species -> species
	a       []float64 // ln K with held components folded in
	solids  rows
	solid   []int32
	b       []float64 // ln Ks likewise
	t       []float64 // totals
}

// NewWorkspace returns a workspace for s.
func (s *System) NewWorkspace() *Workspace {
	n, m, k := s.components, s.Species(), s.Solids()
	f := func(n int) []float64 { return make([]float64, n) }
	w := &Workspace{
		sys: s,
		x:   f(n), y: f(n), y0: f(n), safe: f(n), c: f(m), pos: f(n), neg: f(n),
		F: f(n), d: f(n), g: f(n), wp: f(n), wn: f(n), rhs: f(n), size: f(n),
		j: f(n * n), perm: make([]int32, n),
		m: f(k), want: f(k), active: make([]int32, 0, k),
		state: make([]uint8, n), alive: make([]bool, m),
		lnK: f(m), lnKs: f(k), lnHeld: f(n),
	}
	w.initFrame()
	p := &w.p
	p.comp, p.back, p.uses = make([]int32, n), make([]int32, n), make([]int32, n)
	p.species, p.spec, p.a = s.species.clone(), make([]int32, m), f(m)
	p.solids, p.solid, p.b = s.solids.clone(), make([]int32, k), f(k)
	p.t = f(n)
	return w
}

func (m *rows) clone() rows {
	return rows{
		start: make([]int32, len(m.start)),
		index: make([]int32, len(m.index)),
		coef:  make([]float64, len(m.coef)),
	}
}

const (
	unknown = iota
	held
	removed   // total 0, occurs with positive coefficients only: ln c = -Inf
	exhausted // total 0, occurs with negative coefficients only: ln c = +Inf
)

// reduce folds held components into the constants, removes the components
// whose total is zero with all that contains them, and refuses totals that no
// sign of contributions can meet.
func (w *Workspace) reduce(c *Conditions) error {
	s, p := w.sys, &w.p
	for i := range w.state {
		w.state[i] = unknown
		if c.Held != nil && c.Held[i] {
			w.state[i] = held
		}
	}
	for j := range w.alive {
		w.alive[j] = !math.IsInf(c.LnK[j], -1)
	}
	for changed := true; changed; {
		changed = false
		for i := range w.state {
			if w.state[i] != unknown {
				continue
			}
			plus, minus := w.signs(c, int32(i))
			t := c.Total[i]
			switch {
			case t > 0 && !plus, t < 0 && !minus:
				return &ComponentError{Component: i, Value: t, Err: ErrInfeasible}
			case t == 0 && !minus:
				w.state[i] = removed
			case t == 0 && !plus:
				w.state[i] = exhausted
			default:
				continue
			}
			changed = true
			for j := range w.alive {
				for e := s.species.start[j]; e < s.species.start[j+1]; e++ {
					if int(s.species.index[e]) == i {
						w.alive[j] = false
					}
				}
			}
		}
	}
	p.species.start = p.species.start[:s.Species()+1]
	p.solids.start = p.solids.start[:s.Solids()+1]
	p.n = 0
	for i, st := range w.state {
		p.back[i] = -1
		if st == unknown {
			p.comp[p.n], p.back[i] = int32(i), int32(p.n)
			p.t[p.n] = c.Total[i]
			p.n++
		}
	}
	clear(p.uses)
	at, out := int32(0), 0
	for j, ok := range w.alive {
		if !ok {
			continue
		}
		a := c.LnK[j]
		for e := s.species.start[j]; e < s.species.start[j+1]; e++ {
			i, v := s.species.index[e], s.species.coef[e]
			if r := p.back[i]; r >= 0 {
				p.species.index[at], p.species.coef[at] = r, v
				p.uses[r]++
				at++
			} else {
				a += v * c.LnHeld[i]
			}
		}
		p.spec[out], p.a[out] = int32(j), a
		out++
		p.species.start[out] = at
	}
	p.species.start = p.species.start[:out+1]
	at, out = 0, 0
	for k := range s.Solids() {
		if !w.present(c, k) {
			continue
		}
		b := c.LnKs[k]
		begin := at
		for e := s.solids.start[k]; e < s.solids.start[k+1]; e++ {
			i, v := s.solids.index[e], s.solids.coef[e]
			if r := p.back[i]; r >= 0 {
				p.solids.index[at], p.solids.coef[at] = r, v
				at++
			} else {
				b -= v * c.LnHeld[i]
			}
		}
		if at == begin {
			if b < 0 {
				return &ComponentError{Component: k, Value: -b, Err: ErrUnbounded}
			}
			continue
		}
		p.solid[out], p.b[out] = int32(k), b
		out++
		p.solids.start[out] = at
	}
	p.solids.start = p.solids.start[:out+1]
	return nil
}

// present reports whether solid k is switched on and all its components are there.
func (w *Workspace) present(c *Conditions, k int) bool {
	if math.IsInf(c.LnKs[k], 1) {
		return false
	}
	s := &w.sys.solids
	for e := s.start[k]; e < s.start[k+1]; e++ {
		if st := w.state[s.index[e]]; st == removed || st == exhausted {
			return false
		}
	}
	return true
}

// signs tells whether any living species or solid contributes to component i
// with a positive and with a negative coefficient.
func (w *Workspace) signs(c *Conditions, i int32) (plus, minus bool) {
	s := w.sys
	for j, ok := range w.alive {
		if !ok {
			continue
		}
		for e := s.species.start[j]; e < s.species.start[j+1]; e++ {
			if s.species.index[e] == i {
				plus = plus || s.species.coef[e] > 0
				minus = minus || s.species.coef[e] < 0
			}
		}
	}
	for k := range s.Solids() {
		if !w.present(c, k) {
			continue
		}
		for e := s.solids.start[k]; e < s.solids.start[k+1]; e++ {
			if s.solids.index[e] == i {
				plus = plus || s.solids.coef[e] > 0
				minus = minus || s.solids.coef[e] < 0
			}
		}
	}
	return plus, minus
}
