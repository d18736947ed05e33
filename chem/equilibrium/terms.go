package equilibrium

import "math"

// terms are the balances and their derivatives written out term by term, in the
// order in which they are added up. Each balance has two sides: 2i is what counts
// positively in balance i, 2i+1 what counts negatively.
type terms struct {
	// the balances, species after species
	end    []int32   // of each species
	side   []int32   // per term
	amount []float64 // per term, positive

	// the derivatives, group after group
	groups []group
	from   []int32   // per term: species
	factor []float64 // per term: its coefficients in balance and component

	place []int32 // scratch: per side and component
}

// A group of terms makes one side's derivative by one component.
type group struct{ side, column, end int32 }

// write writes out the balances b of the species m, those that solids lead left out.
func (t *terms) write(b *balances, m *rows) {
	t.end, t.side, t.amount = t.end[:0], t.side[:0], t.amount[:0]
	t.place = fit(t.place, 2*b.n*b.n)
	clear(t.place)
	for j := range m.len() {
		for i, v := range b.over(m, j) {
			if v == 0 || b.anchor[i] >= solidBase {
				continue
			}
			side := 2 * i
			if v < 0 {
				side++
			}
			t.side, t.amount = append(t.side, int32(side)), append(t.amount, math.Abs(v))
			for _, k := range m.index[m.start[j]:m.start[j+1]] {
				t.place[side*b.n+int(k)]++
			}
		}
		t.end = append(t.end, int32(len(t.side)))
	}
	t.groups = t.groups[:0]
	last := int32(0)
	for at, count := range t.place {
		if count > 0 {
			t.place[at] = last
			last += count
			t.groups = append(t.groups, group{int32(at / b.n), int32(at % b.n), last})
		}
	}
	t.from, t.factor = fit(t.from, int(last)), fit(t.factor, int(last))
	e := int32(0)
	for j, end := range t.end {
		for ; e < end; e++ {
			side, v := int(t.side[e]), t.amount[e]
			if side&1 != 0 {
				v = -v
			}
			for g := m.start[j]; g < m.start[j+1]; g++ {
				at := &t.place[side*b.n+int(m.index[g])]
				t.from[*at], t.factor[*at] = int32(j), v*m.coef[g]
				*at++
			}
		}
	}
}

// of returns the terms of species j.
func (t *terms) of(j int) (side []int32, amount []float64) {
	start := int32(0)
	if j > 0 {
		start = t.end[j-1]
	}
	return t.side[start:t.end[j]], t.amount[start:t.end[j]]
}

// axpy adds f times what species j counts for in the balances to v, each side
// with its weight.
func (t *terms) axpy(f float64, j int, weight, v []float64) {
	side, amount := t.of(j)
	for e, g := range side {
		v[g>>1] += f * amount[e] * signed(weight, g)
	}
}

// dot is its transpose.
func (t *terms) dot(j int, weight, v []float64) float64 {
	var s float64
	side, amount := t.of(j)
	for e, g := range side {
		s += v[g>>1] * amount[e] * signed(weight, g)
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
