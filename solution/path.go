package solution

import (
	"fmt"
	"math"
	"slices"

	"example.com/chelation/chem"
	"example.com/chelation/chem/equilibrium"
	"example.com/chelation/tables"
)

// Path is what becomes of a vessel while a second one is poured into it: a
// titration. It is made for many points: [Path.At] solves for one from the last
// and allocates nothing, and derivatives are computed when asked for. A path
// keeps a record of both vessels as they were, and belongs to one goroutine at a
// time.
type Path struct {
	vessel *Solution // the first vessel, with the model of both
	m      *model
	start  []float64 // mol of each of the model's components in the first vessel
	rate   []float64 // mol of each per litre poured
	litres float64   // of the first vessel
	growth float64   // of its volume, L per litre poured
	fresh  bool      // the second vessel brings components that the first has not

	poured, volume float64 // at the present point, L
	motion         motion
	gradient       equilibrium.Change
}

// Path returns the way of the vessel while the other, at the volume and
// composition it has, is poured in. The vessel's temperature, air, solids,
// constants and held pH count, the other's do not.
func (s *Solution) Path(other *Solution) (*Path, error) {
	if s.tables != other.tables {
		return nil, &chem.InputError{Field: "vessel to pour", Value: "from other tables", Want: "one made with the same tables"}
	}
	for _, v := range []*Solution{s, other} {
		if !(v.volume > 0) {
			return nil, &chem.InputError{Field: "vessel", Value: "empty", Want: "water in it"}
		}
	}
	p := &Path{litres: s.volume}
	var poured []int
	for i, n := range other.amounts {
		if n != 0 {
			poured = append(poured, i)
			p.fresh = p.fresh || s.amounts[i] == 0
		}
	}
	var err error
	if p.vessel, err = s.joined(poured...); err != nil {
		return nil, err
	}
	m := p.vessel.model
	p.growth = chem.WaterDensity(other.temperature) / chem.WaterDensity(s.temperature)
	for _, c := range m.components {
		p.start = append(p.start, s.amounts[c])
		p.rate = append(p.rate, other.amounts[c]/other.volume)
	}
	if c := m.carbonate; c >= 0 {
		p.start[0] -= 2 * p.start[c]
		p.rate[0] -= 2 * p.rate[c]
	}
	p.m = m
	p.poured = math.NaN()
	return p, nil
}

// Clone returns an independent path from the same start.
func (p *Path) Clone() *Path {
	c := *p
	c.vessel, c.m = p.vessel.Clone(), p.m.clone()
	c.start, c.rate = slices.Clone(p.start), slices.Clone(p.rate)
	c.poured, c.motion, c.gradient = math.NaN(), motion{}, equilibrium.Change{}
	return &c
}

// firstDrop is the part of the vessel's volume that stands in for nothing poured,
// where what is poured brings new components: without a trace of them there would
// be no derivatives.
const firstDrop = 1e-9

// At solves for the point at which so many litres have been poured.
func (p *Path) At(litres float64) error {
	if !(litres >= 0 && litres <= 1e9) {
		return &chem.InputError{Field: "volume poured", Value: fmt.Sprintf("%g L", litres), Want: "a finite number from 0"}
	}
	v := litres
	if v == 0 && p.fresh {
		v = firstDrop * p.litres
	}
	volume := p.litres + p.growth*v
	for i, n := range p.start {
		p.m.conditions.Total[i] = (n + p.rate[i]*v) / volume
	}
	if err := p.m.solve(); err != nil {
		p.poured = math.NaN()
		return p.vessel.explain(p.m, err)
	}
	p.poured, p.volume = litres, volume
	return nil
}

// Poured returns the litres poured at the present point, NaN before the first.
func (p *Path) Poured() float64 { return p.poured }

// Litres returns the volume of the solution at the present point.
func (p *Path) Litres() float64 { return p.volume }

// PH returns the pH as a meter reads it.
func (p *Path) PH() float64 { return p.PConcH() + p.m.medium.D(p.m.result.Ionic) }

// PConcH returns −log10 of the concentration of the hydrogen ion.
func (p *Path) PConcH() float64 { return -p.m.result.LnC[0] / math.Ln10 }

// IonicStrength returns the ionic strength in mol/L.
func (p *Path) IonicStrength() float64 { return p.m.result.Ionic }

// Components returns the components, the hydrogen ion first. In a vessel open to
// the air the place of carbonate is taken by carbonic acid.
func (p *Path) Components() []chem.Species {
	all := p.vessel.tables.Components()
	out := make([]chem.Species, len(p.m.components))
	for i, c := range p.m.components {
		out[i] = all[c].Species
	}
	return out
}

// Class returns what a component counts as.
func (p *Path) Class(component int) tables.Class {
	return p.vessel.tables.Components()[p.m.components[component]].Class
}

// Component returns the place of a component, by formula, name or synonym, among
// Components; -1 when the path has none of it.
func (p *Path) Component(name string) (int, error) {
	c, err := p.vessel.component(name)
	if err != nil {
		return -1, err
	}
	return slices.Index(p.m.components, c), nil
}

// PFree returns −log10 of the free concentration of a component, mol/L: +Inf
// where there is none of it.
func (p *Path) PFree(component int) float64 {
	if p.poured == 0 && p.start[component] == 0 && component > 0 {
		return math.Inf(1)
	}
	return -p.m.result.LnC[component] / math.Ln10
}

// Species returns the dissolved species that the path can hold.
func (p *Path) Species() []chem.Species {
	out := make([]chem.Species, len(p.m.species))
	for j, f := range p.m.species {
		out[j] = f.Species
	}
	return out
}

// FindSpecies returns the place of one given by formula or name among Species and,
// after them, Solids; -1 when the path has none of it.
func (p *Path) FindSpecies(name string) (int, error) {
	f, err := p.vessel.tables.Formation(name)
	if err != nil {
		return -1, err
	}
	same := func(o tables.Formation) bool { return o.Species.Equal(f.Species) }
	if k := slices.IndexFunc(p.m.solids, same); k >= 0 {
		return len(p.m.species) + k, nil
	}
	return slices.IndexFunc(p.m.species, same), nil
}

// Concentrations returns those of Species in mol/L. The slice is overwritten by
// the next point.
func (p *Path) Concentrations() []float64 { return p.m.result.C }

// Solids returns the solids that may form along the path.
func (p *Path) Solids() []chem.Species {
	out := make([]chem.Species, len(p.m.solids))
	for k, f := range p.m.solids {
		out[k] = f.Species
	}
	return out
}

// SolidConcentrations returns the amounts of Solids, mol per litre of solution.
// The slice is overwritten by the next point.
func (p *Path) SolidConcentrations() []float64 { return p.m.result.Solid }

// Start returns the moles of a component in the vessel before anything is poured.
func (p *Path) Start(component int) float64 { return p.start[component] }

// StartLitres returns the volume of the vessel before anything is poured.
func (p *Path) StartLitres() float64 { return p.litres }

// Rate returns the moles of a component in a litre of what is poured.
func (p *Path) Rate(component int) float64 { return p.rate[component] }

// State returns a full record of the present point.
func (p *Path) State() (*State, error) {
	s := p.vessel.Clone()
	s.volume = p.volume
	v := p.poured
	for i, c := range p.m.components {
		s.amounts[c] = p.start[i] + p.rate[i]*v
	}
	if c := p.m.carbonate; c >= 0 {
		s.amounts[p.m.components[0]] += 2 * s.amounts[p.m.components[c]]
	}
	s.model = nil
	return s.Equilibrate()
}

// Spill adds moles of a component to the start of the path. With
// [Path.Strengthen], [Path.ShiftConstant] and [Path.Gradient] it is what a fit
// needs; changes hold from the next point on.
func (p *Path) Spill(component int, moles float64) { p.start[component] += moles }

// Strengthen changes the moles of a component in a litre of what is poured.
func (p *Path) Strengthen(component int, moles float64) { p.rate[component] += moles }

// ShiftConstant adds to log10 K of one of Species or, after them, of Solids.
func (p *Path) ShiftConstant(species int, log10K float64) {
	if k := species - len(p.m.species); k >= 0 {
		p.m.medium.LnKs0[k] -= math.Ln10 * log10K // a product of solubility is turned the other way
		return
	}
	p.m.medium.LnK0[species] += math.Ln10 * log10K
}

// StandardLog10K returns log10 K° of one of Species or, after them, of Solids, from
// the components.
func (p *Path) StandardLog10K(species int) float64 {
	if k := species - len(p.m.species); k >= 0 {
		return -p.m.medium.LnKs0[k] / math.Ln10
	}
	return p.m.medium.LnK0[species] / math.Ln10
}

// Composition returns how often each of Components goes into one of Species.
func (p *Path) Composition(species int) []float64 { return p.composition(p.m.species[species]) }

// SolidComposition returns how often each of Components goes into one of Solids.
func (p *Path) SolidComposition(solid int) []float64 { return p.composition(p.m.solids[solid]) }

func (p *Path) composition(f tables.Formation) []float64 {
	out := make([]float64, len(p.m.components))
	for _, c := range f.Coefficients {
		out[p.m.place[c.Component]] = c.N
	}
	return out
}
