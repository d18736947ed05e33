package equilibrium

import "slices"

// rows is a sparse matrix of whole numbers: what species and solids are made of.
type rows struct {
	start []int32   // row r occupies start[r]:start[r+1]
	index []int32   // column of each entry
	coef  []float64 // value of each entry
}

func (m *rows) len() int { return max(0, len(m.start)-1) }

// clear empties the matrix and keeps its memory.
func (m *rows) clear() {
	m.start, m.index = append(m.start[:0], 0), m.index[:0]
	m.coef = m.coef[:0]
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

// fold writes the rows that are on, over the unknowns in their order, to out and their names
// to name, sorted by the first unknown that they contain.
func (m *rows) fold(out *rows, name []int32, on []bool, back []int32) []int32 {
	name = slices.Grow(name[:0], len(on))
	for r, ok := range on {
		if ok {
			name = append(name, int32(r))
		}
	}
	first := func(r int32) int32 {
		least := int32(len(back))
		for _, i := range m.index[m.start[r]:m.start[r+1]] {
			if i = back[i]; i >= 0 {
				least = min(least, i)
			}
		}
		return least
	}
	slices.SortStableFunc(name, func(a, b int32) int { return int(first(a) - first(b)) })
	out.clear()
	out.start = slices.Grow(out.start, len(on))
	out.index, out.coef = slices.Grow(out.index, len(m.index)), slices.Grow(out.coef, len(m.index))
	for _, r := range name {
		begin := len(out.index)
		for e := m.start[r]; e < m.start[r+1]; e++ {
			i := back[m.index[e]]
			if i < 0 {
				continue
			}
			out.add(i, m.coef[e])
			for k := len(out.index) - 1; k > begin && out.index[k-1] > i; k-- {
				out.index[k-1], out.index[k] = out.index[k], out.index[k-1]
				out.coef[k-1], out.coef[k] = out.coef[k], out.coef[k-1]
			}
		}
		out.end()
	}
	return name
}
