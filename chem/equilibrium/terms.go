package equilibrium

import (
	"math"
	"slices"
)

// terms are the balances and their derivatives written out term by term, in the
// order in which they are added up. Each balance has two sides: 2i is what counts
// positively in balance i, 2i+1 what counts negatively.
type terms struct {
	// the balances, species after species
	end  []int32 // of each species
	list []term

	// the same, side after side
	ends  []int32 // of each side
	sides []share

	// the derivatives, group after group
	groups []group
	slopes []share

	place []int32 // scratch, per component
}

// A term is what one mol of a species adds to a side, positive.
type term struct {
	amount float64
	side   int32
}

// A share is what one mol of a species adds to something.
type share struct {
	factor float64
	from   int32
}

// A group of slopes, products of coefficients in balance and component, makes one side's
// derivative by one component. The derivatives of the original balances are symmetric but for the
// weights of their sides: such a group serves the balance of the component, too, if that has one side only.
type group struct {
	side, column, end int32
	serves            bool
}

// write writes out the balances b of the species m, those that solids lead left out.
func (t *terms) write(b *balances, m *rows) {
	t.end, t.list = slices.Grow(t.end[:0], m.len()), slices.Grow(t.list[:0], len(m.index))
	t.ends = fit(t.ends, 2*b.n)
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
			t.list = append(t.list, term{math.Abs(v), int32(side)})
			t.ends[side]++
		}
		t.end = append(t.end, int32(len(t.list)))
	}
	before := int32(0)
	for side, count := range t.ends {
		t.ends[side], before = before, before+count
	}
	t.sides = fit(t.sides, len(t.list))
	for j := range t.end {
		for _, u := range t.of(j) {
			at := &t.ends[u.side]
			t.sides[*at] = share{u.amount, int32(j)}
			*at++
		}
	}
	t.derive(b, m)
}

// derive writes out the derivatives of what stands in t.sides.
func (t *terms) derive(b *balances, m *rows) {
	t.groups, t.slopes, t.place = t.groups[:0], slices.Grow(t.slopes[:0], 2*len(m.index)), fit(t.place, b.n)
	served := func(i, by int) bool {
		one := func(i int) bool { return t.ends[2*i+1] == t.ends[2*i] }
		return b.native && one(i) && (i < by || !one(by))
	}
	start := int32(0)
	for side, end := range t.ends {
		list, i, sign := t.sides[start:end], side/2, float64(1-side%2*2)
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
					t.slopes[*at] = share{sign * u.factor * m.coef[e], u.from}
					*at++
				}
			}
		}
	}
}

// of returns the terms of species j.
func (t *terms) of(j int) []term {
	start := int32(0)
	if j > 0 {
		start = t.end[j-1]
	}
	return t.list[start:t.end[j]]
}

// axpy adds f times what species j counts for in the balances to v, each side
// with its weight.
func (t *terms) axpy(f float64, j int, weight, v []float64) {
	for _, u := range t.of(j) {
		v[u.side>>1] += f * u.amount * signed(weight, u.side)
	}
}

// dot is its transpose.
func (t *terms) dot(j int, weight, v []float64) float64 {
	var s float64
	for _, u := range t.of(j) {
		s += v[u.side>>1] * u.amount * signed(weight, u.side)
	}
	return s
}

// signed returns the weight of a side with its sign.
func signed(weight []float64, side int32) float64 {
	if side&1 != 0 {
		return -weight[side]
	}
	return weight[side]
}
