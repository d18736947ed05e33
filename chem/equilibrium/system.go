package equilibrium

import (
	"encoding/binary"
	"fmt"
	"math"
	"slices"

	"example.com/chelation/chem"
)

// A System is the stoichiometry of a problem, compiled once. It is immutable and may be shared
// by any number of goroutines; each of them needs a [Workspace] of its own.
type System struct {
	components int
	species    rows
	solids     rows
	largest    float64 // coefficient of a species
}

const (
	whole          = 1e-9 // how far from a whole number a coefficient may be by rounding
	maxCoefficient = 1000 // chains and clusters stay below it, and balances in whole numbers are exact
)

// New compiles a system from dense rows: species[j][i] is the number of component i that one
// formula unit of species j is formed from (negative where it is released, as H⁺ is by OH⁻);
// solids likewise. A component that exists free in solution is a species of its own, with a
// unit row; one without, the electron for one, is allowed.
//
// New refuses, with a [*chem.InputError]: no component or no species, a row of the wrong
// length, a coefficient that is not a whole number up to 1000, a row of zeros, a solid without
// a positive coefficient, two species with the same row (add their constants), and components
// that the species cannot tell apart. Two solids may share a row: the less soluble one wins.
func New(components int, species, solids [][]float64) (*System, error) {
	if components <= 0 {
		return nil, refuse("components", -1, float64(components), "at least one")
	}
	if len(species) == 0 {
		return nil, refuse("species", -1, 0, "at least one")
	}
	s := &System{components: components}
	var err error
	if s.species, err = compile("species", components, species); err != nil {
		return nil, err
	}
	if s.solids, err = compile("solids", components, solids); err != nil {
		return nil, err
	}
	for k := range solids {
		row := s.solids.coef[s.solids.start[k]:s.solids.start[k+1]]
		if top := slices.Max(row); top < 0 {
			return nil, refuse("solids", k, top, "a positive coefficient: a solid takes up at least one component")
		}
	}
	if j, k := s.species.duplicate(); j >= 0 {
		return nil, &chem.InputError{Field: fmt.Sprintf("species[%d]", j), Value: fmt.Sprintf("the row of species[%d]", k), Want: "a row of its own"}
	}
	if i := s.dependent(); i >= 0 {
		return nil, &chem.InputError{Field: fmt.Sprintf("component[%d]", i), Value: "a combination of others in all species", Want: "a column of its own"}
	}
	s.largest = largest(s.species.coef)
	return s, nil
}

// compile checks dense rows and stores what is not zero.
func compile(field string, components int, dense [][]float64) (rows, error) {
	var m rows
	m.clear()
	for r, row := range dense {
		if len(row) != components {
			return m, miscounted(fmt.Sprintf("%s[%d]", field, r), len(row), components, "component")
		}
		for i, v := range row {
			n := math.Round(v)
			if !(math.Abs(v-n) <= whole) || math.Abs(n) > maxCoefficient {
				return m, refuse(field, r, v, "whole numbers up to 1000")
			}
			if n != 0 {
				m.add(int32(i), n)
			}
		}
		if int(m.start[r]) == len(m.index) {
			return m, refuse(field, r, 0, "a coefficient other than zero")
		}
		m.end()
	}
	return m, nil
}

// duplicate returns two rows that are the same, or -1.
func (m *rows) duplicate() (later, earlier int) {
	seen := make(map[string]int, m.len())
	var key []byte
	for r := range m.len() {
		key = key[:0]
		for e := m.start[r]; e < m.start[r+1]; e++ {
			key = binary.AppendVarint(binary.AppendVarint(key, int64(m.index[e])), int64(m.coef[e]))
		}
		if k, ok := seen[string(key)]; ok {
			return r, k
		}
		seen[string(key)] = r
	}
	return -1, -1
}

// dependent returns a component whose column is a linear combination of others, or -1.
func (s *System) dependent() int {
	var b balances
	b.reset(s.components)
	for j := range s.species.len() {
		b.take(&s.species, j, int32(j))
	}
	for i, a := range b.anchor {
		if a < 0 {
			return i
		}
	}
	return -1
}
