package solution

import (
	"fmt"
	"math"
	"slices"

	"example.com/chelation/chem/equilibrium"
	"example.com/chelation/tables"
)

// Response is how a state moves as something is added, at equilibrium all the
// while: exact derivatives per gram of reagent, the growth of the volume and
// the change of the ionic strength included.
type Response struct {
	PHPerGram                 float64   `json:"ph_per_g"`                       // dpH/dm
	IonicStrengthPerGram      float64   `json:"ionic_strength_mol_per_l_per_g"` // dI/dm
	VolumeLitresPerGram       float64   `json:"volume_l_per_g"`                 // dV/dm
	SpeciesMolPerLitrePerGram []float64 `json:"species_mol_per_l_per_g"`        // dc/dm of each of State.Species
	SolidsMolPerGram          []float64 `json:"solids_mol_per_g"`               // dn/dm of each of State.Solids
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
	out := Response{PHPerGram: d.pH, IonicStrengthPerGram: d.Ionic, VolumeLitresPerGram: a.litres}
	for _, sp := range st.Species {
		j := slices.IndexFunc(m.species, func(f tables.Formation) bool { return f.Species.Equal(sp.Species) })
		out.SpeciesMolPerLitrePerGram = append(out.SpeciesMolPerLitrePerGram, d.C[j])
	}
	for _, sp := range st.Solids {
		k := slices.IndexFunc(m.solids, func(f tables.Formation) bool { return f.Species.Equal(sp.Species) })
		out.SolidsMolPerGram = append(out.SolidsMolPerGram, s.volume*d.Solid[k]+m.result.Solid[k]*a.litres)
	}
	return st, out, nil
}

// drift is the derivative of an answer along a direction in its totals.
type drift struct {
	equilibrium.Response
	pH float64
}

// respond differentiates the last answer along the given rates of the totals.
func (m *model) respond(rate []float64) (drift, error) {
	var d drift
	if err := m.workspace.Respond(&equilibrium.Change{Total: rate}, &d.Response); err != nil {
		return drift{}, fmt.Errorf("solution: %w", err)
	}
	q := math.Sqrt(m.result.Ionic)
	b := 1 + m.medium.B*q
	d.pH = -d.LnC[0]/math.Ln10 + m.medium.A/(2*q*b*b)*d.Ionic
	return d, nil
}

// bufferCapacity is dC/dpH for strong base, mol/(L pH).
func (m *model) bufferCapacity() (float64, error) {
	rate := make([]float64, len(m.components))
	rate[0] = -1
	d, err := m.respond(rate)
	if err != nil {
		return 0, err
	}
	if d.pH == 0 {
		return 0, nil // held
	}
	return 1 / d.pH, nil
}
