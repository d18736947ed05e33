package equilibrium

import (
	"math"
	"slices"
)

// A System is the stoichiometry of a problem, compiled once to flat arrays.
// It is immutable and may be shared by any number of goroutines; each of them
// needs a [Workspace] of its own.
type System struct {
	components int
	species    rows
	solids     rows
}

// rows is a sparse matrix stored row after row.
type rows struct {
	start []int32   // row r occupies start[r]:start[r+1]
	index []int32   // component of each entry
	coef  []float64 // stoichiometric coefficient of each entry
}

func (m *rows) len() int { return len(m.start) - 1 }

func compile(dense [][]float64) rows {
	m := rows{start: make([]int32, 1, len(dense)+1)}
	for _, row := range dense {
		for i, v := range row {
			if v != 0 {
				m.index = append(m.index, int32(i))
				m.coef = append(m.coef, v)
			}
		}
		m.start = append(m.start, int32(len(m.index)))
	}
	return m
}

// New compiles a system from dense rows of stoichiometric coefficients.
//
// species[j][i] is the number of component i that one formula unit of species
// j is formed from (negative where the component is released, as H⁺ is by
// OH⁻); solids likewise. A component that exists free in solution is a species
// of its own, with a unit row; a component without such a row, the electron
// for one, is allowed.
//
// New refuses, with an [*InputError]: no component or no species, a row of the
// wrong length, a coefficient that is not finite, a row of zeros, a solid
// without a positive coefficient, two species with the same row (add their
// constants), and components that the species cannot tell apart (linearly
// dependent columns). Two solids may share a row: the less soluble one wins.
func New(components int, species, solids [][]float64) (*System, error) {
	if components <= 0 {
		return nil, &InputError{Field: "components", Index: -1, Value: float64(components), Want: "at least one component"}
	}
	if len(species) == 0 {
		return nil, &InputError{Field: "species", Index: -1, Value: 0, Want: "at least one species"}
	}
	if err := checkRows("species", components, species); err != nil {
		return nil, err
	}
	if err := checkRows("solids", components, solids); err != nil {
		return nil, err
	}
	for k, row := range solids {
		if !(slices.Max(row) > 0) {
			return nil, &InputError{Field: "solids", Index: k, Value: slices.Max(row), Want: "a positive coefficient: a solid takes up at least one component"}
		}
	}
	for j := range species {
		for k := range j {
			if equal(species[j], species[k]) {
				return nil, &InputError{Field: "species", Index: j, Value: float64(k), Want: "a row that no earlier species has", Err: ErrDuplicate}
			}
		}
	}
	if i := dependentColumn(components, species); i >= 0 {
		return nil, &InputError{Field: "components", Index: i, Value: float64(i), Want: "a column that is not a combination of earlier ones", Err: ErrDuplicate}
	}
	return &System{components: components, species: compile(species), solids: compile(solids)}, nil
}

func checkRows(field string, components int, dense [][]float64) error {
	for r, row := range dense {
		if len(row) != components {
			return &InputError{Field: field, Index: r, Value: float64(len(row)), Want: "one coefficient per component"}
		}
		empty := true
		for _, v := range row {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return &InputError{Field: field, Index: r, Value: v, Want: "finite coefficients"}
			}
			empty = empty && v == 0
		}
		if empty {
			return &InputError{Field: field, Index: r, Value: 0, Want: "a coefficient other than zero"}
		}
	}
	return nil
}

func equal(a, b []float64) bool {
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

// dependentColumn returns the first column that is a linear combination of
// earlier ones, or -1 (modified Gram-Schmidt).
func dependentColumn(components int, dense [][]float64) int {
	var basis [][]float64
	for i := range components {
		v := make([]float64, len(dense))
		var norm float64
		for j := range dense {
			v[j] = dense[j][i]
			norm += v[j] * v[j]
		}
		for range 2 {
			for _, b := range basis {
				var d float64
				for j := range v {
					d += v[j] * b[j]
				}
				for j := range v {
					v[j] -= d * b[j]
				}
			}
		}
		var left float64
		for j := range v {
			left += v[j] * v[j]
		}
		if !(left > 1e-20*norm) {
			return i
		}
		left = 1 / math.Sqrt(left)
		for j := range v {
			v[j] *= left
		}
		basis = append(basis, v)
	}
	return -1
}

// Components returns the number of components.
func (s *System) Components() int { return s.components }

// Species returns the number of species.
func (s *System) Species() int { return s.species.len() }

// Solids returns the number of solids.
func (s *System) Solids() int { return s.solids.len() }
