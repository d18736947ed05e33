package solution

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/equilibrium"
	"example.com/chelation/tables"
)

// State is a vessel at equilibrium. It is a record: later changes to the
// vessel do not touch it.
type State struct {
	PH            float64          // −log10 a(H⁺), as a meter reads it
	PConcH        float64          // −log10 [H⁺], concentration in mol/L
	IonicStrength float64          // mol/L
	Temperature   unit.Temperature // K
	Litres        float64          // volume of the solution, L
	Species       []Dissolved      // sorted by falling concentration
	Solids        []Solid          // those that could form, sorted by name
	Components    []Share          // totals, in the order of the tables
	Warnings      []Warning        // constants that matter and lie outside their data
	Residual      float64          // relative mass balance of the worst component
	Iterations    int              // Newton steps of the solver

	// BufferCapacity is the strong base in mol per litre that raises pH by
	// one, dC/dpH, at constant volume.
	BufferCapacity float64

	model *model
}

// Dissolved is a dissolved species.
type Dissolved struct {
	Species       chem.Species
	Concentration float64 // mol/L
	formation     tables.Formation
}

// Solid is a solid phase that may be present.
type Solid struct {
	Species    chem.Species
	Name       string
	Moles      float64 // mol in the vessel
	Saturation float64 // log10 Q/Ks; 0 when the solid is there, below when it is not
}

// Share is how much there is of a component.
type Share struct {
	Species  chem.Species
	Total    float64 // mol/L of solution, in all forms
	Free     float64 // mol/L of the bare component
	proton   bool
	position int
}

// Equilibrate finds the state of the vessel. The solver cannot fail on contents
// that exist; an error means that the vessel is empty or that its contents
// cannot be met, such as a negative amount of a metal.
func (s *Solution) Equilibrate() (*State, error) {
	m, err := s.equilibrate()
	if err != nil {
		return nil, err
	}
	return s.record(m)
}

func (s *Solution) equilibrate() (*model, error) {
	if !(s.volume > 0) {
		return nil, &InputError{"vessel", "empty", "water in it"}
	}
	m, err := s.compiled()
	if err != nil {
		return nil, err
	}
	m.totals(s.amounts, s.volume)
	if err := m.solve(); err != nil {
		return nil, s.explain(m, err)
	}
	return m, nil
}

// explain puts the name of a component into an error of the solver.
func (s *Solution) explain(m *model, err error) error {
	var c *equilibrium.ComponentError
	if errors.As(err, &c) && !errors.Is(err, equilibrium.ErrUnbounded) {
		name := s.tables.Components()[m.components[c.Component]].Species
		return fmt.Errorf("solution: %s at %.4g mol/L: %w", name, c.Value, err)
	}
	return fmt.Errorf("solution: %w", err)
}

func (s *Solution) record(m *model) (*State, error) {
	r := &m.result
	st := &State{
		IonicStrength: r.Ionic,
		Temperature:   s.temperature,
		Litres:        s.volume,
		Residual:      r.Residual,
		Iterations:    r.Iterations,
		PConcH:        -r.LnC[0] / math.Ln10,
		model:         m,
	}
	st.PH = st.PConcH + m.medium.D(r.Ionic)
	var err error
	if st.BufferCapacity, err = m.bufferCapacity(); err != nil {
		return nil, err
	}
	for j, f := range m.species {
		if r.C[j] > 0 {
			st.Species = append(st.Species, Dissolved{f.Species, r.C[j], f})
		}
	}
	slices.SortStableFunc(st.Species, func(a, b Dissolved) int { return cmp.Compare(b.Concentration, a.Concentration) })
	for k, f := range m.solids {
		solid, err := s.tables.Solid(f.Species.String())
		if err != nil {
			return nil, err
		}
		st.Solids = append(st.Solids, Solid{f.Species, solid.Name, r.Solid[k] * s.volume, r.Saturation[k] / math.Ln10})
	}
	slices.SortFunc(st.Solids, func(a, b Solid) int { return cmp.Compare(a.Name, b.Name) })
	all := s.tables.Components()
	for _, c := range m.components {
		share := Share{Species: all[c].Species, Total: s.amounts[c] / s.volume, proton: all[c].Role == "proton", position: c}
		share.Free = st.Concentration(share.Species.String())
		st.Components = append(st.Components, share)
	}
	slices.SortFunc(st.Components, func(a, b Share) int { return cmp.Compare(a.position, b.position) })
	st.warn()
	return st, nil
}

// Concentration returns the concentration of a dissolved species in mol/L, by
// any spelling of its formula; 0 if it is not there.
func (st *State) Concentration(species string) float64 {
	want, err := chem.ParseSpecies(species)
	if err != nil {
		return 0
	}
	for _, d := range st.Species {
		if d.Species.Equal(want) {
			return d.Concentration
		}
	}
	return 0
}

// P returns −log10 of the concentration of a dissolved species, +Inf if it is
// not there.
func (st *State) P(species string) float64 { return -math.Log10(st.Concentration(species)) }

// Fraction is the part of a component that one species holds.
type Fraction struct {
	Species chem.Species
	Value   float64 // 0 to 1 of the component dissolved and solid
}

// Distribution returns how a metal or a ligand is spread over the species that
// hold it, solids included, largest first. For H⁺, whose total may be
// negative, it is the spread over the species that carry H⁺.
func (st *State) Distribution(component string) []Fraction {
	i := slices.IndexFunc(st.Components, func(s Share) bool { return sameSpecies(s.Species, component) })
	if i < 0 {
		return nil
	}
	c := st.Components[i].position
	var out []Fraction
	sum := 0.0
	for _, d := range st.Species {
		if n := d.formation.Of(c); n > 0 {
			out = append(out, Fraction{d.Species, n * d.Concentration})
			sum += n * d.Concentration
		}
	}
	for k, f := range st.model.solids {
		if n := f.Of(c) * st.model.result.Solid[k]; n > 0 {
			out = append(out, Fraction{f.Species, n})
			sum += n
		}
	}
	for k := range out {
		out[k].Value /= sum
	}
	slices.SortStableFunc(out, func(a, b Fraction) int { return cmp.Compare(b.Value, a.Value) })
	return out
}

func sameSpecies(s chem.Species, name string) bool {
	o, err := chem.ParseSpecies(name)
	return err == nil && s.Equal(o)
}
