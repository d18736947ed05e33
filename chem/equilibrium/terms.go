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

	kind  []uint8 // of each balance
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
// mirrored says that the component's derivative by what the side balances is the same.
type group struct {
	side, column, end int32
	mirrored          bool
}

// write writes out the balances b of the species m, those that solids lead left out. down tells the
// components that some species contains with a negative coefficient.
func (t *terms) write(b *balances, m *rows, comp []int32, down []bool) {
	t.classify(b, comp, down)
	t.end, t.list = slices.Grow(t.end[:0], m.len()), slices.Grow(t.list[:0], len(m.index))
	t.place = fit(t.place, 2*b.n*b.n)
	clear(t.place)
	for j := range m.len() {
		row := m.index[m.start[j]:m.start[j+1]]
		q := b.over(m, j)
		for _, i := range row {
			if t.kind[i] != combined {
				t.count(b.n, int(i), q[i], row)
			}
		}
		for _, i := range b.touched {
			if v := q[i]; v != 0 && b.anchor[i] < solidBase {
				t.count(b.n, int(i), v, row)
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
			i, k := at/b.n/2, at%b.n
			t.groups = append(t.groups, group{int32(at / b.n), int32(k), last, t.mirrors(k, i)})
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
				if t.mirrors(side>>1, int(m.index[g])) {
					continue
				}
				at := &t.place[side*b.n+int(m.index[g])]
				t.slopes[*at] = slope{v * m.coef[g], int32(j)}
				*at++
			}
		}
	}
}

// count adds the term v of balance i, and counts those of its derivatives by what is in row.
func (t *terms) count(n, i int, v float64, row []int32) {
	side := 2 * i
	if v < 0 {
		side++
	}
	t.list = append(t.list, term{math.Abs(v), int32(side)})
	for _, k := range row {
		if !t.mirrors(i, int(k)) {
			t.place[side*n+int(k)]++
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

// A kind of balance: another combination of components, or that of a component, which may be
// plain and occur with positive coefficients only.
const (
	combined = iota
	native
	plain
)

func (t *terms) classify(b *balances, comp []int32, down []bool) {
	t.kind = fit(t.kind, b.n)
	for i, k := range comp {
		switch {
		case b.anchor[i] >= solidBase:
			t.kind[i] = combined
		case down[k]:
			t.kind[i] = native
		default:
			t.kind[i] = plain
		}
	}
	for _, i := range b.touched {
		t.kind[i] = combined
	}
}

// mirrors reports whether the derivative of balance i by component k is that of balance k by
// component i, as it is where each counts what contains the other, and is not written out a second time.
func (t *terms) mirrors(i, k int) bool {
	return t.kind[i] == plain && t.kind[k] != combined && k != i && (t.kind[k] == native || i < k)
}
