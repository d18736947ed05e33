package solution

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"example.com/chelation/tables"
)

// Response is how a state moves as something is added, at equilibrium all the
// while: exact derivatives per gram of reagent, the growth of the volume and
// the change of the ionic strength included.
type Response struct {
	PH            float64   // dpH/dm, 1/g
	IonicStrength float64   // dI/dm, mol/(L g)
	Litres        float64   // dV/dm, L/g
	Species       []float64 // dc/dm of each of State.Species, mol/(L g)
	Solids        []float64 // dn/dm of each of State.Solids, mol/g
}

// Response returns the state of the vessel and how it moves with the mass of a
// reagent added.
func (s *Solution) Response(r tables.Reagent) (*State, Response, error) {
	a, err := s.additionOf(r)
	if err != nil {
		return nil, Response{}, err
	}
	// A component that is not there yet has no logarithm: a trace stands in.
	work := s.Clone()
	for _, p := range a.amounts {
		if work.amounts[p.component] == 0 {
			work.add(p.component, math.Copysign(1e-13*s.volume, p.moles))
		}
	}
	m, err := work.equilibrate()
	if err != nil {
		return nil, Response{}, err
	}
	st, err := work.record(m)
	if err != nil {
		return nil, Response{}, err
	}
	rate := make([]float64, len(m.components)) // of each total, mol/(L g)
	for i, t := range m.conditions.Total {
		rate[i] = -t * a.litres / s.volume
	}
	for _, p := range a.amounts {
		i := slices.Index(m.components, p.component)
		rate[i] += p.moles / s.volume
		if i == m.carbonate {
			rate[0] -= 2 * p.moles / s.volume
		}
	}
	d, err := m.respond(rate)
	if err != nil {
		return nil, Response{}, err
	}
	out := Response{PH: d.pH, IonicStrength: d.ionic, Litres: a.litres}
	for _, sp := range st.Species {
		j := slices.IndexFunc(m.species, func(f tables.Formation) bool { return f.Species.Equal(sp.Species) })
		out.Species = append(out.Species, d.species[j])
	}
	for _, sp := range st.Solids {
		k := slices.IndexFunc(m.solids, func(f tables.Formation) bool { return f.Species.Equal(sp.Species) })
		out.Solids = append(out.Solids, s.volume*d.solids[k]+m.result.Solid[k]*a.litres)
	}
	return st, out, nil
}

// drift is the derivative of an answer along a direction in its totals.
type drift struct {
	lnC     []float64
	species []float64
	solids  []float64
	ionic   float64
	pH      float64
}

// respond differentiates the equations that hold at the answer, the loop over
// ionic strength included, along the given rates of the totals, and solves the
// linear system: mass balances, held components, saturated solids, and the
// definition of the ionic strength.
func (m *model) respond(rate []float64) (drift, error) {
	r, d := &m.result, &m.medium
	n := len(m.components)
	var active []int
	for k, amount := range r.Solid {
		if amount > 0 {
			active = append(active, k)
		}
	}
	size := n + len(active) + 1
	last := size - 1
	root := math.Sqrt(r.Ionic)
	slopeD := d.A / (2 * root * (1 + d.B*root) * (1 + d.B*root))
	a := mat.NewDense(size, size, nil)
	b := mat.NewVecDense(size, nil)
	grow := func(i, j int, x float64) { a.Set(i, j, a.At(i, j)+x) }
	position := map[int]int{}
	for i, c := range m.components {
		position[c] = i
	}
	shift := func(dz2, deps float64) float64 { return math.Ln10 * (dz2*slopeD - deps) }
	for j, f := range m.species {
		g := shift(d.DZ2[j], d.DEps[j])
		for _, p := range f.Coefficients {
			i := position[p.Component]
			for _, q := range f.Coefficients {
				grow(i, position[q.Component], p.N*q.N*r.C[j])
			}
			grow(i, last, p.N*r.C[j]*g)
			grow(last, i, d.Z2[j]*r.C[j]*p.N/2)
		}
		grow(last, last, d.Z2[j]*r.C[j]*g/2)
	}
	grow(last, last, -1)
	for l, k := range active {
		for _, p := range m.solids[k].Coefficients {
			i := position[p.Component]
			grow(i, n+l, p.N)
			grow(n+l, i, p.N)
		}
		grow(n+l, last, -shift(d.DZ2S[k], d.DEpsS[k]))
	}
	for i := range n {
		absent := math.IsInf(r.LnC[i], -1)
		if !absent && !m.conditions.Held[i] {
			b.SetVec(i, rate[i])
			continue
		}
		for j := range size {
			a.Set(i, j, 0)
		}
		a.Set(i, i, 1)
		if !absent {
			a.Set(i, last, -shift(d.CompZ2[i], d.CompEps[i]))
		}
	}
	for i := range size { // balances of traces and of main components on one scale
		row := a.RawRowView(i)
		scale := 0.0
		for _, x := range row {
			scale = max(scale, math.Abs(x))
		}
		if scale == 0 {
			return drift{}, fmt.Errorf("solution: the state does not determine its own change")
		}
		for j := range row {
			row[j] /= scale
		}
		b.SetVec(i, b.AtVec(i)/scale)
	}
	var x mat.VecDense
	if err := x.SolveVec(a, b); err != nil {
		if _, loss := err.(mat.Condition); !loss {
			return drift{}, fmt.Errorf("solution: the state does not determine its own change: %w", err)
		}
	}
	out := drift{lnC: make([]float64, n), species: make([]float64, len(m.species)), solids: make([]float64, len(m.solids)), ionic: x.AtVec(last)}
	for i := range n {
		out.lnC[i] = x.AtVec(i)
	}
	for j, f := range m.species {
		sum := shift(d.DZ2[j], d.DEps[j]) * out.ionic
		for _, p := range f.Coefficients {
			sum += p.N * out.lnC[position[p.Component]]
		}
		if r.C[j] > 0 {
			out.species[j] = r.C[j] * sum
		}
	}
	for l, k := range active {
		out.solids[k] = x.AtVec(n + l)
	}
	out.pH = -out.lnC[0]/math.Ln10 + slopeD*out.ionic
	return out, nil
}

// bufferCapacity is dC/dpH for strong base, mol/(L pH).
func (m *model) bufferCapacity() (float64, error) {
	rate := make([]float64, len(m.components))
	rate[0] = -1
	d, err := m.respond(rate)
	if err != nil {
		return 0, err
	}
	return 1 / d.pH, nil
}
