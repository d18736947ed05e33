package equilibrium

import (
	"math"
	"slices"
)

// terms are the balances and their derivatives written out term by term. Side 2i is what counts
// positively in balance i, 2i+1 what counts negatively.
type terms struct {
	ends   []int32 // of each side among its terms
	list   []term
	groups []group // of the derivatives
	slopes []term

	room  []sided // scratch
	place []int32 // scratch, per component
}

// A term is what one mol of a species adds to something.
type term struct {
	factor float64
	from   int32
}

type sided struct {
	term
	side int32
}

// A group of slopes, products of coefficients in balance and component, makes one side's
// derivative by one component. Those of the original balances are symmetric but for the weights
// of sides: such a group serves the balance of the component, too, if that has one side only.
type group struct {
	side, column, end int32
	serves            bool
}

// write writes out the balances b of the species m, those that solids lead left out.
func (t *terms) write(b *balances, m *rows) {
	t.room, t.ends = slices.Grow(t.room[:0], len(m.index)), fit(t.ends, 2*b.n)
	clear(t.ends)
	for j := range m.len() {
		for i, v := range b.over(m, j) {
			if v == 0 || b.anchor[i] >= solidBase {
				continue
			}
			side := 2 * i
			if v < 0 {
				side++
			}
			t.room = append(t.room, sided{term{math.Abs(v), int32(j)}, int32(side)})
			t.ends[side]++
		}
	}
	before := int32(0)
	for side, count := range t.ends {
		t.ends[side], before = before, before+count
	}
	t.list = fit(t.list, len(t.room))
	for _, u := range t.room {
		at := &t.ends[u.side]
		t.list[*at] = u.term
		*at++
	}
	t.derive(b, m)
}

// derive writes out the derivatives of what stands in t.list.
func (t *terms) derive(b *balances, m *rows) {
	t.groups, t.slopes, t.place = t.groups[:0], slices.Grow(t.slopes[:0], 2*len(m.index)), fit(t.place, b.n)
	served := func(i, by int) bool {
		one := func(i int) bool { return t.ends[2*i+1] == t.ends[2*i] }
		return b.native && one(i) && (i < by || !one(by))
	}
	start := int32(0)
	for side, end := range t.ends {
		list, i, sign := t.list[start:end], side/2, float64(1-side%2*2)
		start = end
		clear(t.place)
		for _, u := range list {
			for _, k := range m.index[m.start[u.from]:m.start[u.from+1]] {
				t.place[k]++
			}
		}
		last := int32(len(t.slopes))
		for k, count := range t.place {
			if count == 0 || served(i, k) {
				t.place[k] = -1
				continue
			}
			t.place[k], last = last, last+count
			t.groups = append(t.groups, group{int32(side), int32(k), last, served(k, i)})
		}
		t.slopes = slices.Grow(t.slopes, int(last)-len(t.slopes))[:last]
		for _, u := range list {
			for e := m.start[u.from]; e < m.start[u.from+1]; e++ {
				if at := &t.place[m.index[e]]; *at >= 0 {
					t.slopes[*at] = term{sign * u.factor * m.coef[e], u.from}
					*at++
				}
			}
		}
	}
}

// sum writes what amounts of the species add up to on each side.
func (t *terms) sum(amount, sides []float64) {
	list, start := t.list, int32(0)
	for side, end := range t.ends {
		var one, other float64
		part := list[start:end]
		for ; len(part) > 1; part = part[2:] { // neither sum waits for the other
			u, v := &part[0], &part[1]
			one += u.factor * amount[u.from]
			other += v.factor * amount[v.from]
		}
		for _, u := range part {
			one += u.factor * amount[u.from]
		}
		sides[side], start = one+other, end
	}
}

// spread is its transpose.
func (t *terms) spread(sides, amount []float64) {
	clear(amount)
	start := int32(0)
	for side, end := range t.ends {
		for _, u := range t.list[start:end] {
			amount[u.from] += u.factor * sides[side]
		}
		start = end
	}
}
