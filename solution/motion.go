package solution

import (
	"fmt"
	"math"

	"example.com/chelation/chem"
	"example.com/chelation/chem/equilibrium"
)

// Motion is a first derivative of the state by the volume poured, or a second one,
// whose units have one more litre below the stroke.
type Motion struct {
	PH            float64   `json:"ph_per_l"`
	IonicStrength float64   `json:"ionic_strength_mol_per_l2"`
	PFree         []float64 `json:"p_free_per_l"` // of −log10 of each free component
	Species       []float64 `json:"species_mol_per_l2"`
	Solids        []float64 `json:"solids_mol_per_l2"`
}

// motion is the working room of Path.Motion.
type motion struct {
	change              equilibrium.Change
	first, second, push equilibrium.Response
	out                 [2]Motion
}

// Motion returns the first and the second derivative (1/L for the first, 1/L² for
// the second, and so on) at the present point, with the growth of the volume and
// the drift of the constants with ionic strength in them. They are exact while
// the set of solids stays as it is, and are overwritten by the next call.
//
// With e = d ln c/dv, the balance Σ ν c = T differentiates to
//
//	Σ ν c e = T′    Σ ν c e′ = T″ − Σ ν c e²
//
// so that the second derivative solves the same linear equations as the first,
// for another right-hand side. Ionic strength, I = ½ Σ z² c, gets an extra ½ Σ z²
// c e² likewise, which is what push carries.
func (p *Path) Motion() (first, second *Motion, err error) {
	if math.IsNaN(p.poured) {
		return nil, nil, &chem.InputError{Field: "point", Value: "none", Want: "a call of At that succeeds"}
	}
	m, q := p.m, &p.motion
	d, r := &m.medium, &m.result
	q.fit(m)
	respond := func(out *equilibrium.Response) {
		if e := m.workspace.Respond(&q.change, out); e != nil && err == nil {
			err = fmt.Errorf("solution: %w", e)
		}
	}
	for i, t := range m.conditions.Total {
		q.change.Total[i] = (p.rate[i] - p.growth*t) / p.volume
	}
	respond(&q.first)
	ionic := q.first.Ionic

	// what ionic strength does by itself: slope and curvature of ln K
	root := math.Sqrt(r.Ionic)
	b := 1 + d.B*root
	slope := d.A / (2 * root * b * b)
	curve := -slope * (1 + 3*d.B*root) / (2 * r.Ionic * b)
	clear(q.change.Total)
	for j, z := range d.DZ2 {
		q.change.LnK[j] = math.Ln10 * (z*slope - d.DEps[j])
	}
	for k, z := range d.DZ2S {
		q.change.LnKs[k] = math.Ln10 * (z*slope - d.DEpsS[k])
	}
	for i, z := range d.CompZ2 {
		q.change.LnHeld[i] = math.Ln10 * (z*slope - d.CompEps[i])
	}
	respond(&q.push)

	extra := 0.0
	for i := range q.change.Total {
		q.change.Total[i] = -2 * p.growth * (p.rate[i] - p.growth*m.conditions.Total[i]) / (p.volume * p.volume)
	}
	bend := math.Ln10 * curve * ionic * ionic
	for j, c := range r.C {
		if c == 0 {
			q.change.LnK[j] = 0
			continue
		}
		e := q.first.C[j] / c
		q.change.LnK[j] = d.DZ2[j] * bend
		for _, x := range m.species[j].Coefficients {
			q.change.Total[m.place[x.Component]] -= x.N * c * e * e
		}
		extra += 0.5 * d.Z2[j] * c * e * e
	}
	for k, z := range d.DZ2S {
		q.change.LnKs[k] = z * bend
	}
	for i, z := range d.CompZ2 {
		q.change.LnHeld[i] = z * bend
	}
	respond(&q.second)
	if err != nil {
		return nil, nil, err
	}
	// push has been fed back once: it is the answer to a unit of I from outside,
	// and its own I is what that adds.
	q.second.Ionic += extra * (1 + q.push.Ionic)
	for i, v := range q.push.LnC {
		q.second.LnC[i] += extra * v
	}
	for k, v := range q.push.Solid {
		q.second.Solid[k] += extra * v
	}
	for j, c := range r.C {
		q.second.C[j] += extra * q.push.C[j]
		if c > 0 {
			q.second.C[j] += q.first.C[j] * q.first.C[j] / c
		}
	}
	one, two := &q.out[0], &q.out[1]
	one.set(&q.first)
	two.set(&q.second)
	one.PH = one.PFree[0] + slope*ionic
	two.PH = two.PFree[0] + slope*q.second.Ionic + curve*ionic*ionic
	return one, two, nil
}

func (q *motion) fit(m *model) {
	n, s, k := len(m.components), len(m.species), len(m.solids)
	if len(q.change.Total) == n {
		clear(q.change.LnK)
		clear(q.change.LnKs)
		clear(q.change.LnHeld)
		return
	}
	q.change = equilibrium.Change{Total: make([]float64, n), LnK: make([]float64, s), LnKs: make([]float64, k), LnHeld: make([]float64, n)}
	for i := range q.out {
		q.out[i] = Motion{PFree: make([]float64, n), Species: make([]float64, s), Solids: make([]float64, k)}
	}
}

func (x *Motion) set(r *equilibrium.Response) {
	x.IonicStrength = r.Ionic
	for i, v := range r.LnC {
		x.PFree[i] = -v / math.Ln10
	}
	copy(x.Species, r.C)
	copy(x.Solids, r.Solid)
}

// Gradient is how pH or a pM at a point of a path depends on what goes into it.
type Gradient struct {
	Start []float64 `json:"start_per_mol"`  // by the moles of each component in the vessel
	Rate  []float64 `json:"rate_l_per_mol"` // by the moles of each component per litre poured
	LogK  []float64 `json:"log_k"`          // by log10 K of each of Species and, after them, of Solids
}

// Gradient writes the exact derivatives at the present point to out: of the pH for
// component 0, of −log10 of the free concentration for others.
func (p *Path) Gradient(component int, out *Gradient) error {
	if math.IsNaN(p.poured) {
		return &chem.InputError{Field: "point", Value: "none", Want: "a call of At that succeeds"}
	}
	m := p.m
	weight := equilibrium.Response{LnC: make([]float64, len(m.components))}
	weight.LnC[component] = -1 / math.Ln10
	if component == 0 { // the activity of H⁺ moves with the ionic strength too
		root := math.Sqrt(m.result.Ionic)
		b := 1 + m.medium.B*root
		weight.Ionic = m.medium.A / (2 * root * b * b)
	}
	if err := m.workspace.Gradient(&weight, &p.gradient); err != nil {
		return fmt.Errorf("solution: %w", err)
	}
	out.Start, out.Rate, out.LogK = out.Start[:0], out.Rate[:0], out.LogK[:0]
	for _, g := range p.gradient.Total {
		out.Start = append(out.Start, g/p.volume)
		out.Rate = append(out.Rate, g*p.poured/p.volume)
	}
	for _, g := range p.gradient.LnK {
		out.LogK = append(out.LogK, g*math.Ln10)
	}
	for _, g := range p.gradient.LnKs {
		out.LogK = append(out.LogK, -g*math.Ln10)
	}
	return nil
}
