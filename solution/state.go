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
// vessel do not touch it, and it survives a round trip through JSON.
type State struct {
	PH                       float64          `json:"ph"`                       // −log10 a(H⁺), as a meter reads it
	PConcH                   float64          `json:"p_conc_h"`                 // −log10 [H⁺], concentration in mol/L
	IonicStrengthMolPerLitre float64          `json:"ionic_strength_mol_per_l"` // ½ Σ c z²
	Temperature              unit.Temperature `json:"temperature_k"`
	VolumeLitres             float64          `json:"volume_l"` // of the solution

	// BufferCapacity is the strong base in mol per litre that raises pH by
	// one, dC/dpH, at constant volume; 0 where the pH is held and there is no
	// answer.
	BufferCapacityMolPerLitre float64 `json:"buffer_capacity_mol_per_l"`

	Species    []Dissolved `json:"species"`    // sorted by falling concentration
	Solids     []Solid     `json:"solids"`     // those that could form, sorted by name
	Components []Share     `json:"components"` // totals, in the order of the tables
	Warnings   []Warning   `json:"warnings"`   // constants that matter and lie outside their data
	Residual   float64     `json:"residual"`   // relative mass balance of the worst component
	Iterations int         `json:"iterations"` // Newton steps of the solver
}

// Dissolved is a dissolved species.
type Dissolved struct {
	Species     chem.Species `json:"species"`
	MolPerLitre float64      `json:"mol_per_l"`
	Made        []Content    `json:"made_of"` // the components in one of it
}

// Content is how much of a component one unit of a species holds.
type Content struct {
	Component chem.Species `json:"component"`
	N         float64      `json:"n"`
}

// Solid is a solid phase that may be present.
type Solid struct {
	Species       chem.Species `json:"species"`
	Name          string       `json:"name"`
	Moles         float64      `json:"mol"`            // in the vessel
	LogSaturation float64      `json:"log_saturation"` // log10 Q/Ks; 0 when the solid is there, below when it is not
	Made          []Content    `json:"made_of"`        // the components in one formula of it
}

// Share is how much there is of a component.
type Share struct {
	Species          chem.Species `json:"species"`
	Class            tables.Class `json:"class,omitempty"` // what it counts as
	TotalMolPerLitre float64      `json:"total_mol_per_l"` // in all forms, solids included; where air or a buffer holds it, what that takes
	FreeMolPerLitre  float64      `json:"free_mol_per_l"`  // the bare component
}

// contentOf returns how often the content names a component.
func contentOf(made []Content, component chem.Species) float64 {
	for _, c := range made {
		if c.Component.Equal(component) {
			return c.N
		}
	}
	return 0
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
		return nil, &chem.InputError{Field: "vessel", Value: "empty", Want: "water in it"}
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
	switch {
	case !errors.As(err, &c):
	case errors.Is(err, equilibrium.ErrUnbounded):
		return fmt.Errorf("solution: what is held oversaturates %s: %w", m.names[c.Component], err)
	default:
		name := s.tables.Components()[m.components[c.Component]].Species
		return fmt.Errorf("solution: %s at %.4g mol/L: %w", name, c.Value, err)
	}
	return fmt.Errorf("solution: %w", err)
}

func (s *Solution) record(m *model) (*State, error) {
	r := &m.result
	st := &State{
		IonicStrengthMolPerLitre: r.Ionic,
		Temperature:              s.temperature,
		VolumeLitres:             s.volume,
		Residual:                 r.Residual,
		Iterations:               r.Iterations,
		PConcH:                   -r.LnC[0] / math.Ln10,
	}
	st.PH = st.PConcH + m.medium.D(r.Ionic)
	var err error
	if st.BufferCapacityMolPerLitre, err = m.bufferCapacity(); err != nil {
		return nil, err
	}
	var there []int
	for j, c := range r.C {
		if c > 0 {
			there = append(there, j)
		}
	}
	slices.SortStableFunc(there, func(a, b int) int { return cmp.Compare(r.C[b], r.C[a]) })
	for _, j := range there {
		st.Species = append(st.Species, Dissolved{m.species[j].Species, r.C[j], m.made[j]})
	}
	for k, f := range m.solids {
		if math.IsInf(r.Saturation[k], -1) {
			continue // one of its components is missing
		}
		st.Solids = append(st.Solids, Solid{f.Species, m.names[k], r.Solid[k] * s.volume, r.Saturation[k] / math.Ln10, m.made[len(m.species)+k]})
	}
	slices.SortFunc(st.Solids, func(a, b Solid) int { return cmp.Compare(a.Name, b.Name) })
	all := m.all
	for _, c := range slices.Sorted(slices.Values(m.components)) {
		i := m.place[c]
		share := Share{Species: all[c].Species, Class: all[c].Class, TotalMolPerLitre: s.amounts[c] / s.volume, FreeMolPerLitre: r.C[m.bare[i]]}
		if m.conditions.Held[i] || i == 0 && m.carbonate >= 0 {
			share.TotalMolPerLitre = m.total(c)
		}
		if share.TotalMolPerLitre != 0 || i == 0 {
			st.Components = append(st.Components, share)
		}
	}
	st.warn(m)
	return st, nil
}

// Concentration returns the concentration of a dissolved species in mol/L, by
// any spelling of its formula; 0 if it is not there.
func (st *State) Concentration(species string) float64 {
	want, err := chem.ParseSpecies(species)
	for _, d := range st.Species {
		if d.Species.String() == species || err == nil && d.Species.Equal(want) {
			return d.MolPerLitre
		}
	}
	return 0
}

// P returns −log10 of the concentration of a dissolved species, +Inf if it is
// not there.
func (st *State) P(species string) float64 { return -math.Log10(st.Concentration(species)) }

// Fraction is the part of a component that one species holds.
type Fraction struct {
	Species chem.Species `json:"species"`
	Value   float64      `json:"fraction"` // 0 to 1 of the component dissolved and solid
}

// Distribution returns how a metal or a ligand is spread over the species that
// hold it, solids included, largest first. For H⁺, whose total may be
// negative, it is the spread over the species that carry H⁺.
func (st *State) Distribution(component string) []Fraction {
	c, err := chem.ParseSpecies(component)
	for _, share := range st.Components {
		if share.Species.String() == component {
			c, err = share.Species, nil
		}
	}
	if err != nil {
		return nil
	}
	var out []Fraction
	sum := 0.0
	add := func(s chem.Species, n float64) {
		if n > 0 {
			out = append(out, Fraction{s, n})
			sum += n
		}
	}
	for _, d := range st.Species {
		add(d.Species, contentOf(d.Made, c)*d.MolPerLitre)
	}
	for _, p := range st.Solids {
		add(p.Species, contentOf(p.Made, c)*p.Moles/st.VolumeLitres)
	}
	for k := range out {
		out[k].Value /= sum
	}
	slices.SortStableFunc(out, func(a, b Fraction) int { return cmp.Compare(b.Value, a.Value) })
	return out
}

// Class returns what a component of the vessel counts as; nothing for others.
func (st *State) Class(component chem.Species) tables.Class {
	for _, c := range st.Components {
		if c.Species.Equal(component) {
			return c.Class
		}
	}
	return ""
}
