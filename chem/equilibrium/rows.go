package equilibrium

import "slices"

// rows is a sparse matrix of whole numbers stored row after row: what species
// and solids are made of.
type rows struct {
	start []int32   // row r occupies start[r]:start[r+1]
	index []int32   // column of each entry
	coef  []float64 // value of each entry
	power []int32   // the entry's place in the table of powers, see powers
}

func (m *rows) len() int { return max(0, len(m.start)-1) }

// clear empties the matrix and keeps its memory.
func (m *rows) clear() {
	m.start, m.index = append(m.start[:0], 0), m.index[:0]
	m.coef, m.power = m.coef[:0], m.power[:0]
}

// add appends an entry to the row in the making, which end closes.
func (m *rows) add(i int32, v float64) {
	m.index, m.coef = append(m.index, i), append(m.coef, v)
}

func (m *rows) end() { m.start = append(m.start, int32(len(m.index))) }

// dot returns the product of row r with v.
func (m *rows) dot(r int, v []float64) float64 {
	var s float64
	for e := m.start[r]; e < m.start[r+1]; e++ {
		s += m.coef[e] * v[m.index[e]]
	}
	return s
}

// axpy adds f times row r to v.
func (m *rows) axpy(f float64, r int, v []float64) {
	for e := m.start[r]; e < m.start[r+1]; e++ {
		v[m.index[e]] += f * m.coef[e]
	}
}

// signs notes which columns the rows that are on contribute to.
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

// without switches off the rows that contain column i.
func (m *rows) without(i int32, on []bool) {
	for r := range on {
		for e := m.start[r]; e < m.start[r+1]; e++ {
			if m.index[e] == i {
				on[r] = false
			}
		}
	}
}

// fold writes the rows that are on, over the unknowns in their order, to out
// and their names to name.
func (m *rows) fold(out *rows, name []int32, on []bool, back []int32) []int32 {
	out.clear()
	out.start, out.index = slices.Grow(out.start, len(on)), slices.Grow(out.index, len(m.index))
	out.coef, out.power = slices.Grow(out.coef, len(m.index)), slices.Grow(out.power, len(m.power))
	name = slices.Grow(name[:0], len(on))
	left := 0
	for _, ok := range on {
		if ok {
			left++
		}
	}
	for length := 0; len(name) < left; length++ {
		for r, ok := range on {
			if ok && m.over(r, back) == length {
				m.copyTo(out, r, back)
				name = append(name, int32(r))
			}
		}
	}
	return name
}

// over counts the unknowns in row r.
func (m *rows) over(r int, back []int32) int {
	n := 0
	for _, i := range m.index[m.start[r]:m.start[r+1]] {
		if back[i] >= 0 {
			n++
		}
	}
	return n
}

// copyTo appends row r over the unknowns to out.
func (m *rows) copyTo(out *rows, r int, back []int32) {
	for e := m.start[r]; e < m.start[r+1]; e++ {
		if i := back[m.index[e]]; i >= 0 {
			out.add(i, m.coef[e])
			if m.power != nil {
				out.power = append(out.power, m.power[e])
			}
			for k := len(out.index) - 1; k > int(out.start[out.len()]) && out.index[k-1] > out.index[k]; k-- {
				out.swap(k-1, k)
			}
		}
	}
	out.end()
}

func (m *rows) swap(e, g int) {
	m.index[e], m.index[g] = m.index[g], m.index[e]
	m.coef[e], m.coef[g] = m.coef[g], m.coef[e]
	if m.power != nil {
		m.power[e], m.power[g] = m.power[g], m.power[e]
	}
}

// A power is a component and an exponent that it occurs with, or one between that and 0: the
// product of two before it in the list, but for ±1.
type power struct {
	component int32
	exponent  int32
	less, one int32
}

// powers lists the powers of the components that occur in m, and gives each
// entry its place in the list.
func (m *rows) powers() []power {
	var list []power
	places := map[power]int32{}
	var place func(i, n, sign int32) int32
	place = func(i, n, sign int32) int32 {
		key := power{component: i, exponent: n * sign}
		at, ok := places[key]
		if !ok {
			p := key
			if n > 1 {
				p.one, p.less = place(i, 1, sign), place(i, n-1, sign)
			}
			at = int32(len(list))
			places[key], list = at, append(list, p)
		}
		return at
	}
	m.power = make([]int32, len(m.index))
	for e, i := range m.index {
		n, sign := int32(m.coef[e]), int32(1)
		if n < 0 {
			n, sign = -n, -1
		}
		m.power[e] = place(i, n, sign)
	}
	return list
}
