package equilibrium

import (
	"math"
	"slices"
)

// A layout is a frame laid out for speed. It applies where at most one
// component, the pivotal one (H⁺ as a rule), occurs with negative
// coefficients, all coefficients are small integers, and all other totals are
// positive. Everything else is left to the general path.
//
// Two things make it fast. Species are formed by products of powers of the free
// concentrations, ν being small integers, so that a step takes one exp per
// component and none per species. And components that share no species with
// one another, as a rule the metals, are eliminated exactly: given the
// others, their balances are polynomials in one unknown each, with positive
// coefficients, whose one positive root is soon found.
// Newton then works on the few that are left, the core.
type layout struct {
	ok   bool
	nc   int     // core components; the pivotal one is number 0
	core []int32 // core -> free coordinate of the frame
	elim []int32 // eliminated -> free coordinate

	// Species in order of use, each in a run that shares all exponents but
	// the pivotal one.
	spec []int32 // position -> species of the frame
	pow  []uint8 // position -> index into the table of powers of the pivotal concentration
	h    []float64
	low  int // smallest pivotal exponent
	high int
	runs []run
	fac  []factorOf // factors of the runs, other than the pivotal one
	last []int32    // eliminated -> end of its runs
	free int32      // runs before this contain no eliminated component
}

// A run is a stretch of species h = … of the same other exponents.
type run struct {
	start, zero, end int32 // species with h < 0 and with h ≥ 0
	fac, facEnd      int32
	single           bool    // exactly one factor:
	k                int32   // its component
	b                float64 // and coefficient
	order            float64 // coefficient of the eliminated component, 0 if there is none
}

type factorOf struct {
	k     int32 // core component
	times int32
	b     float64
}

const maxPower = 31

func (l *layout) init(n, m int) {
	*l = layout{
		core: make([]int32, 0, n), elim: make([]int32, 0, n), last: make([]int32, 0, n),
		spec: make([]int32, 0, m), pow: make([]uint8, 0, m), h: make([]float64, 0, m),
		runs: make([]run, 0, m), fac: make([]factorOf, 0, m*4),
	}
}

// compile lays out the frame; l.ok tells whether it can be done.
func (w *Workspace) compile() {
	f, l := w.f, &w.f.lay
	n, s := f.n, &f.species
	m := s.len()
	l.ok, f.fast.known, f.fast.valid = false, false, false
	if n == 0 {
		return
	}
	// the pivotal component
	q := int32(-1)
	uses := w.tally[:n]
	clear(uses)
	for j := range m {
		if s.start[j+1]-s.start[j] > 5 {
			return
		}
		for e := s.start[j]; e < s.start[j+1]; e++ {
			i, v := s.index[e], s.coef[e]
			if v != math.Trunc(v) || math.Abs(v) > 15 {
				return
			}
			uses[i]++
			if v < 0 || f.t[i] <= 0 {
				if q >= 0 && q != i {
					return
				}
				q = i
			}
		}
	}
	for i := range n {
		if f.t[i] <= 0 && int32(i) != q || uses[i] == 0 {
			return
		}
	}
	if q < 0 {
		for i := range n {
			if q < 0 || uses[i] > uses[q] {
				q = int32(i)
			}
		}
	}
	// components to eliminate: greedily those linked to the fewest others
	link := w.link[:n*n]
	clear(link)
	for j := range m {
		for e := s.start[j]; e < s.start[j+1]; e++ {
			for g := s.start[j]; g < s.start[j+1]; g++ {
				link[int(s.index[e])*n+int(s.index[g])] = 1
			}
		}
	}
	l.core = append(l.core[:0], q)
	l.elim = l.elim[:0]
	role := w.role[:n] // -1 undecided, core ≥ 0, eliminated ≤ -2
	for i := range role {
		role[i] = -1
	}
	role[q] = 0
	for {
		best, least := -1, math.Inf(1)
		for i := range n {
			if role[i] != -1 {
				continue
			}
			var d float64
			for k := range n {
				if link[i*n+k] != 0 && role[k] == -1 {
					d++
				}
			}
			if d < least {
				best, least = i, d
			}
		}
		if best < 0 {
			break
		}
		role[best] = -2 - int32(len(l.elim))
		l.elim = append(l.elim, int32(best))
		for k := range n {
			if link[best*n+k] != 0 && role[k] == -1 {
				role[k] = int32(len(l.core))
				l.core = append(l.core, int32(k))
			}
		}
	}
	for i := range n {
		if role[i] == -1 {
			role[i] = int32(len(l.core))
			l.core = append(l.core, int32(i))
		}
	}
	l.nc = len(l.core)
	// order of the species: eliminated component, its coefficient, the other
	// exponents, the pivotal exponent
	l.spec = l.spec[:0]
	for j := range m {
		l.spec = append(l.spec, int32(j))
	}
	slices.SortFunc(l.spec, func(a, b int32) int { return w.compare(a, b, q, false) })
	// runs
	l.low, l.high = 0, 0
	l.runs, l.fac, l.last = l.runs[:0], l.fac[:0], l.last[:0]
	l.pow, l.h = l.pow[:0], l.h[:0]
	for at := range l.spec {
		h := w.coefficient(l.spec[at], q)
		l.h = append(l.h, h)
		l.low, l.high = min(l.low, int(h)), max(l.high, int(h))
	}
	if l.high-l.low > maxPower-1 {
		return
	}
	for at := int32(0); at < int32(m); {
		j := l.spec[at]
		r := run{start: at, fac: int32(len(l.fac))}
		e := int32(-1)
		for k := s.start[j]; k < s.start[j+1]; k++ {
			switch i := s.index[k]; {
			case i == q:
			case role[i] <= -2:
				e, r.order = -2-role[i], s.coef[k]
			default:
				l.fac = append(l.fac, factorOf{k: role[i], times: int32(s.coef[k]), b: s.coef[k]})
			}
		}
		r.facEnd = int32(len(l.fac))
		if r.facEnd == r.fac+1 {
			r.single, r.k, r.b = true, l.fac[r.fac].k, l.fac[r.fac].b
		}
		for at < int32(m) && w.compare(j, l.spec[at], q, true) == 0 {
			at++
		}
		r.end = at
		r.zero = r.start
		for r.zero < at && l.h[r.zero] < 0 {
			r.zero++
		}
		for int(e) > len(l.last)-1 {
			// runs up to here belong to earlier components
			l.last = append(l.last, int32(len(l.runs)))
		}
		l.runs = append(l.runs, r)
	}
	// last[e] so far holds the start of e's runs
	l.free = int32(len(l.runs))
	if len(l.last) > 0 {
		l.free = l.last[0]
		copy(l.last, l.last[1:])
		l.last[len(l.last)-1] = int32(len(l.runs))
	}
	for _, h := range l.h {
		l.pow = append(l.pow, uint8(int(h)-l.low))
	}
	l.ok = len(l.last) == len(l.elim)
}

func (w *Workspace) coefficient(j, i int32) float64 {
	s := &w.f.species
	for e := s.start[j]; e < s.start[j+1]; e++ {
		if s.index[e] == i {
			return s.coef[e]
		}
	}
	return 0
}

// compare orders species by eliminated component, its coefficient, the other
// exponents and, unless same is set, the pivotal exponent.
func (w *Workspace) compare(a, b, q int32, same bool) int {
	s := &w.f.species
	key := func(j int32) (e int32, v float64) {
		e = -1
		for k := s.start[j]; k < s.start[j+1]; k++ {
			if r := w.role[s.index[k]]; r <= -2 {
				e, v = -2-r, s.coef[k]
			}
		}
		return e, v
	}
	ea, va := key(a)
	eb, vb := key(b)
	switch {
	case ea != eb:
		return int(ea - eb)
	case va != vb:
		return int(va - vb)
	}
	ia, ib := s.start[a], s.start[b]
	for {
		if ia < s.start[a+1] && s.index[ia] == q {
			ia++
			continue
		}
		if ib < s.start[b+1] && s.index[ib] == q {
			ib++
			continue
		}
		switch enda, endb := ia == s.start[a+1], ib == s.start[b+1]; {
		case enda && endb:
			if same {
				return 0
			}
			return int(w.coefficient(a, q) - w.coefficient(b, q))
		case enda:
			return -1
		case endb:
			return 1
		}
		if d := s.index[ia] - s.index[ib]; d != 0 {
			return int(d)
		}
		if d := s.coef[ia] - s.coef[ib]; d != 0 {
			return int(d)
		}
		ia++
		ib++
	}
}
