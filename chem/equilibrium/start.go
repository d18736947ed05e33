package equilibrium

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// guess sets a first estimate of every unknown, those that share species with most others first:
// its total, less what any of the species that it forms with those before would be too
// abundant by; or 1e-7 mol/L where the total says little.
func (w *Workspace) guess() {
	p := &w.p
	m := &p.species
	for i := p.n - 1; i >= 0; i-- {
		t := p.t[i]
		if t <= 0 || p.down[p.comp[i]] {
			w.x[i] = math.Log(neutral)
			continue
		}
		total := math.Log(t)
		w.x[i] = total
		excess := 0.0
		for j := p.group[i]; j < p.group[i+1]; j++ {
			excess = max(excess, (p.a[j]+m.dot(int(j), w.x)-total)/m.coef[m.start[j]])
		}
		w.x[i] -= excess
	}
	w.evaluate()
}

const neutral = 1e-7 // mol/L of H⁺ in pure water

// tropical starts from the answer to a linear problem that always ends:
//
//	maximise Σ_j (ln K_j - L) c_j - Σ_k ln Ks_k m_k   subject to ν c + Sᵀm = T, c, m ≥ 0,
//
// the Gibbs energy without the entropy of mixing, every species being taken at the one
// concentration e^L. It tells which species and solids hold the totals; those become the
// anchors, and its prices are the start. It returns the balance that cannot be met, met,
// unbounded if amounts could go round in a circle, each turn a gain at L, so that at
// equilibrium some species exceeds e^L, or unfinished if rounding keeps it from an end.
func (w *Workspace) tropical() int {
	p, b := &w.p, &w.b
	const thin, dense, raise = 1e-10, 1., 5. // mol/L that the level starts between, and ln units that it goes up by
	level := math.Log(min(dense, max(thin, largest(p.t[:p.n]))))
	short := w.simplex(level)
	for ; short <= unbounded && level < math.Log(crowded); level += raise {
		short = w.simplex(level + raise) // species stable enough to exceed that concentration, or another way to the end
	}
	if short != met {
		return short
	}
	w.active = w.active[:0]
	clear(w.m)
	for i, k := range b.solids {
		w.active = append(w.active, int32(k))
		w.m[k] = max(0, w.left[i]/b.lead[i])
	}
	for i, v := range w.price[:p.n] {
		w.x[i] = -v
	}
	b.chosen = true // so that they are left
	w.enter(false)
	w.evaluate()
	return met
}

const (
	met        = -1
	unbounded  = -2
	unfinished = -3
)

// seed sets what is to be left of the totals: a little of every species, in proportion to the
// totals that it draws on. Where what then remains cannot be met, some species would have to
// vanish: the totals lie on the edge of what can be met, or beyond it.
func (w *Workspace) seed() {
	const (
		part   = 1e-12 // of the totals: less than an answer may miss them by
		absent = 0.01  // of the largest total, in the place of one that is 0
		kinds  = 7     // of species that draw by a sixteenth more each, lest parts cancel
	)
	p, m := &w.p, &w.p.species
	top := largest(p.t[:p.n])
	if top == 0 {
		top = 1 // nothing sets a scale
	}
	clear(w.room)
	for j := range m.len() {
		draws := math.Inf(1)
		for _, i := range m.index[m.start[j]:m.start[j+1]] {
			if t := math.Abs(p.t[i]); t != 0 {
				draws = min(draws, t)
			} else {
				draws = min(draws, absent*top)
			}
		}
		if m.start[j] < m.start[j+1] {
			m.axpy(-part*draws*(1+float64(j%kinds)/16), j, w.room)
		}
	}
}

// simplex exchanges anchors until the amounts are the optimum for what seed leaves, by the revised
// simplex method: the balances are the inverse of the basis, their totals the amounts. It
// returns the balance that cannot be met, or how it ended.
func (w *Workspace) simplex(level float64) int {
	p, b := &w.p, &w.b
	b.reset(p.n)
	w.seed()
	n := p.n
	price := w.price[:n]
	worth := func(a int32) float64 { // of an anchor, per mole
		if a >= solidBase {
			return -p.b[a-solidBase]
		}
		return p.a[a] - level
	}
	const (
		turns = 100  // for each balance and three more: 24 are the most that a random problem is known to take
		fresh = 20   // turns in fractions before they are found anew: judgement
		gains = 1e-9 // ln units a mol, above the rounding of prices
	)
	for turn := range turns * (n + 3) {
		if b.rounded && turn%fresh == fresh-1 { // asked for by one random problem in a million: seed 1, block 246, problem 429
			w.order = append(w.order[:0], b.anchor...)
			b.reset(n)
			for _, a := range w.order {
				if a != own {
					m, r := p.row(a)
					b.take(m, r, a)
				}
			}
		}
		// what an anchor costs: with some amount missing, that counts first
		short := -1
		for i, a := range b.anchor {
			w.left[i] = b.total(i, p.t, w.room).hi
			if short < 0 && (a == own || w.left[i] < 0) {
				short = i
			}
		}
		clear(price)
		for i, a := range b.anchor {
			cost := 0.0
			switch {
			case short >= 0 && w.left[i] < 0:
				cost = 1
			case short >= 0 && a == own:
				cost = -1
			case short < 0:
				cost = worth(a)
			}
			floats.AddScaled(price, cost/b.lead[i], b.u[i*n:i*n+n])
		}
		enter, gain := int32(own), gains
		scan := func(m *rows, from int32) {
			for r := range m.len() {
				g := -m.dot(r, price)
				if short < 0 {
					g += worth(from + int32(r))
				}
				if g > gain {
					enter, gain = from+int32(r), g
				}
			}
		}
		scan(&p.species, 0)
		scan(&p.solids, solidBase)
		if enter == own {
			if short >= 0 {
				return short
			}
			return met
		}
		if b.over(p.row(enter)); !w.exchangeFor(enter) {
			return unbounded
		}
	}
	return unfinished
}

// row returns where an anchor other than own stands.
func (p *problem) row(anchor int32) (m *rows, r int) {
	if anchor >= solidBase {
		return &p.solids, int(anchor - solidBase)
	}
	return &p.species, int(anchor)
}

// exchangeFor brings the row in b.q into the basis, in the place of the anchor that it uses up
// first, and reports whether there is one.
func (w *Workspace) exchangeFor(id int32) bool {
	b := &w.b
	leave, t := -1, math.Inf(1)
	for i, v := range b.q {
		if v == 0 {
			continue
		}
		a := w.left[i]
		s := a / v
		switch {
		case b.anchor[i] == own && a == 0:
			s = 0
		case v < 0 && a >= 0, v > 0 && a < 0:
			continue
		}
		if s < t {
			leave, t = i, s
		}
	}
	if leave < 0 {
		return false
	}
	b.exchange(leave, id)
	return true
}
