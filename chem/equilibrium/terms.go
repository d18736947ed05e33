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

	// the derivatives, group after group
	groups []group
	slopes []slope

	place []int32 // scratch: per side and component
}

// A term is what one mol of a species adds to a side, positive.
type term struct {
	amount float64
	side   int32
}

// A slope is a species with the product of its coefficients in balance and component.
type slope struct {
	factor float64
	from   int32
}

// A group of terms makes one side's derivative by one component.
type group struct{ side, column, end int32 }

// write writes out the balances b of the species m, those that solids lead left out.
func (t *terms) write(b *balances, m *rows) {
	t.end, t.list = slices.Grow(t.end[:0], m.len()), slices.Grow(t.list[:0], len(m.index))
	t.place = fit(t.place, 2*b.n*b.n)
	clear(t.place)
	for j := range m.len() {
		row := m.index[m.start[j]:m.start[j+1]]
		q := b.over(m, j)
		for i, v := range q {
			if v == 0 || b.anchor[i] >= solidBase {
				continue
			}
			side := 2 * i
			if v < 0 {
				side++
			}
			t.list = append(t.list, term{math.Abs(v), int32(side)})
			for _, k := range row {
				t.place[side*b.n+int(k)]++
			}
		}
		t.end = append(t.end, int32(len(t.list)))
	}
	t.groups = slices.Grow(t.groups[:0], 2*b.n)
	last := int32(0)
	for at, count := range t.place {
		if count > 0 {
			t.place[at] = last
			last += count
			t.groups = append(t.groups, group{int32(at / b.n), int32(at % b.n), last})
		}
	}
	t.slopes = fit(t.slopes, int(last))
	e := int32(0)
	for j, end := range t.end {
		for ; e < end; e++ {
			side, v := int(t.list[e].side), t.list[e].amount
			if side&1 != 0 {
				v = -v
			}
			for g := m.start[j]; g < m.start[j+1]; g++ {
				at := &t.place[side*b.n+int(m.index[g])]
				t.slopes[*at] = slope{v * m.coef[g], int32(j)}
				*at++
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
