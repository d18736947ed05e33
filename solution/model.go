package solution

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/equilibrium"
	"example.com/chelation/tables"
)

// model is the equilibrium problem of a vessel at one temperature: which
// components, species and solids there are, compiled for the solver.
type model struct {
	all        []tables.Component // of the tables
	components []int              // indices into the tables, the proton first
	species    []tables.Formation
	solids     []tables.Formation
	names      []string    // of the solids, in the tables
	bare       []int       // the species that each component is by itself
	made       [][]Content // of the species, then of the solids, in components of the tables
	charge     []float64   // of each component
	place      map[int]int // from the tables' components to positions here
	system     *equilibrium.System
	medium     equilibrium.Medium

	// An open vessel is described by H2CO3 in the place of CO3^2-, held at the
	// strength that the air keeps up.
	carbonate int // position of CO3^2- among the components, -1 unless open
	lnCO2     float64
	epsCO2    float64
	air       []tables.Step // that Henry's constant rests on

	workspace  *equilibrium.Workspace
	conditions equilibrium.Conditions
	result     equilibrium.Result
	solved     bool // result holds an answer to start from
}

func (m *model) clone() *model {
	c := *m
	c.workspace = m.system.NewWorkspace()
	c.medium.LnK0 = slices.Clone(m.medium.LnK0) // what Path.ShiftConstant and a dose change
	c.medium.CompZ2 = slices.Clone(m.medium.CompZ2)
	c.conditions.Total = slices.Clone(m.conditions.Total)
	c.conditions.Held = slices.Clone(m.conditions.Held)
	c.conditions.LnHeld = slices.Clone(m.conditions.LnHeld)
	c.result = *m.system.NewResult()
	c.solved = false
	return &c
}

// compiled returns the model for what is in the vessel, making it if need be.
func (s *Solution) compiled() (*model, error) {
	if s.model != nil {
		return s.model, nil
	}
	m := &model{carbonate: -1}
	proton, err := s.component("H+")
	if err != nil {
		return nil, err
	}
	carbonate, err := s.component("CO3^2-")
	if err != nil {
		return nil, err
	}
	m.all = s.tables.Components()
	all := m.all
	m.components = append(m.components, proton)
	for i, n := range s.amounts {
		if i != proton && (n != 0 || i == carbonate && s.co2 > 0) {
			m.components = append(m.components, i)
		}
	}
	m.place = make(map[int]int, len(m.components))
	for i, c := range m.components {
		m.place[c] = i
		m.charge = append(m.charge, float64(all[c].Species.Formula.Charge()))
	}
	m.species = s.tables.Formations(m.components, chem.Aqueous)
	for _, f := range s.tables.Formations(m.components, chem.Solid) {
		name := f.Species.String()
		solid, err := s.tables.Solid(name)
		if err != nil {
			return nil, err
		}
		_, allowed := slices.BinarySearch(s.allowed, name)
		_, barred := slices.BinarySearch(s.barred, name)
		if allowed || solid.Forms == tables.Forms && !barred {
			m.solids, m.names = append(m.solids, f), append(m.names, solid.Name)
		}
	}
	for _, formations := range [][]tables.Formation{m.species, m.solids} {
		for j := range formations {
			s.override(&formations[j])
		}
	}
	m.bare = make([]int, len(m.components))
	for i, c := range m.components {
		m.bare[i] = slices.IndexFunc(m.species, func(f tables.Formation) bool { return f.Species.Equal(all[c].Species) })
	}
	for _, formations := range [][]tables.Formation{m.species, m.solids} {
		for _, f := range formations {
			var made []Content
			for _, c := range f.Coefficients {
				made = append(made, Content{all[c.Component].Species, c.N})
			}
			m.made = append(m.made, made)
		}
	}
	if s.co2 > 0 {
		gas, err := s.tables.Formation("CO2(g)")
		if err != nil {
			return nil, err
		}
		s.override(&gas)
		m.expose(gas, m.place[carbonate], s.temperature, s.co2)
	}
	if err := m.compile(s.temperature); err != nil {
		return nil, err
	}
	if s.ideal {
		m.medium.A = 0
		clear(m.medium.DEps)
		clear(m.medium.DEpsS)
		clear(m.medium.CompEps)
	}
	if s.holdPH {
		m.conditions.Held[0] = true
		m.conditions.LnHeld[0] = -math.Ln10 * s.heldPH
	}
	s.model = m
	return m, nil
}

// override puts a constant of the caller's in the place of that of the tables.
func (s *Solution) override(f *tables.Formation) {
	if len(s.constants) == 0 {
		return
	}
	if c, set := s.constants[f.Species.String()]; set {
		f.Constant, f.Steps = c, nil
	}
}

// expose puts H2CO3 in the place of CO3^2- and holds it in balance with a
// pressure of CO2.
func (m *model) expose(gas tables.Formation, carbonate int, temperature unit.Temperature, co2 float64) {
	k := slices.IndexFunc(m.species, func(f tables.Formation) bool { return f.Species.Equal(carbonicAcid) })
	acid := m.species[k]
	henry := acid.Plus(-1, gas)
	m.carbonate = carbonate
	m.lnCO2 = math.Ln10*henry.Constant.StandardLog10K(temperature) + math.Log(co2)
	m.epsCO2, m.air = henry.Constant.DeltaEps, henry.Steps
	for _, formations := range [][]tables.Formation{m.species, m.solids} {
		for i, f := range formations {
			if n := f.Of(m.components[carbonate]); n != 0 {
				f = f.Plus(-n, acid)
				f.Coefficients = append(f.Coefficients, tables.Coefficient{Component: m.components[carbonate], N: n})
				formations[i] = f
			}
		}
	}
	m.charge[carbonate] = 0
}

func (m *model) compile(temperature unit.Temperature) error {
	rows := func(formations []tables.Formation) [][]float64 {
		out := make([][]float64, len(formations))
		for j, f := range formations {
			out[j] = make([]float64, len(m.components))
			for i, c := range m.components {
				out[j][i] = f.Of(c)
			}
		}
		return out
	}
	var err error
	if m.system, err = equilibrium.New(len(m.components), rows(m.species), rows(m.solids)); err != nil {
		return err
	}
	d := &m.medium
	d.A, d.B = chem.DebyeHuckelA(temperature), chem.DebyeHuckelB
	for _, f := range m.species {
		z := float64(f.Species.Formula.Charge())
		d.LnK0 = append(d.LnK0, math.Ln10*f.Constant.StandardLog10K(temperature))
		d.DZ2 = append(d.DZ2, f.Constant.DeltaZ2)
		d.DEps = append(d.DEps, f.Constant.DeltaEps)
		d.Z2 = append(d.Z2, z*z)
	}
	for _, f := range m.solids {
		d.LnKs0 = append(d.LnKs0, -math.Ln10*f.Constant.StandardLog10K(temperature))
		d.DZ2S = append(d.DZ2S, -f.Constant.DeltaZ2)
		d.DEpsS = append(d.DEpsS, -f.Constant.DeltaEps)
	}
	n := len(m.components)
	d.CompZ2, d.CompEps = make([]float64, n), make([]float64, n)
	for i, z := range m.charge {
		d.CompZ2[i] = z * z
	}
	m.conditions = equilibrium.Conditions{
		Total: make([]float64, n), Held: make([]bool, n), LnHeld: make([]float64, n), Activity: true,
	}
	if c := m.carbonate; c >= 0 {
		d.CompEps[c] = m.epsCO2
		m.conditions.Held[c] = true
		m.conditions.LnHeld[c] = m.lnCO2
	}
	m.workspace = m.system.NewWorkspace()
	m.result = *m.system.NewResult()
	return nil
}

// totals sets the totals for amounts in a volume of litres.
func (m *model) totals(amounts []float64, litres float64) {
	for i, c := range m.components {
		m.conditions.Total[i] = amounts[c] / litres
	}
	if c := m.carbonate; c >= 0 {
		m.conditions.Total[0] -= 2 * m.conditions.Total[c]
	}
}

// total returns what there is of a component of the tables, mol/L: for one whose
// concentration is held, what that takes.
func (m *model) total(component int) float64 {
	i := m.place[component]
	t := m.result.Total[i]
	if i == 0 && m.carbonate >= 0 {
		t += 2 * m.result.Total[m.carbonate]
	}
	return t
}

// solve brings the model to equilibrium, from the last answer if there is one.
func (m *model) solve() error {
	if m.solved {
		if err := m.workspace.SolveMediumFrom(&m.medium, &m.conditions, &m.result); err == nil {
			return nil
		}
	}
	err := m.workspace.SolveMedium(&m.medium, &m.conditions, &m.result)
	m.solved = err == nil
	return err
}
