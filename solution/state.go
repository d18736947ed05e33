package solution

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/compiled"
	"example.com/chelation/tables"
)

// State is a vessel at equilibrium. It is a record: later changes to the vessel do not touch it.
type State struct {
	PH                       float64 `json:"ph"`                       // −log10 a(H⁺), as a meter reads it
	PConcH                   float64 `json:"p_conc_h"`                 // −log10 [H⁺], concentration in mol/L
	IonicStrengthMolPerLitre float64 `json:"ionic_strength_mol_per_l"` // ½ Σ c z²
	TemperatureC             float64 `json:"temperature_c"`
	VolumeLitres             float64 `json:"volume_l"` // of the solution

	// BufferCapacityMolPerLitre is the strong base that raises pH by one, dC/dpH, at constant
	// volume; 0 where it is held.
	BufferCapacityMolPerLitre float64 `json:"buffer_capacity_mol_per_l"`

	Species    []Dissolved `json:"dissolved_species"` // sorted by falling concentration
	Solids     []Solid     `json:"solids"`            // those that could form, sorted by name
	Components []Share     `json:"components"`        // totals, H⁺ first, the others in the order of the tables
	Warnings   []Warning   `json:"warnings"`          // constants that matter and lie outside their data
	Residual   float64     `json:"residual"`          // relative mass balance of the worst component

	tables   *tables.Tables // in which names are looked up; nil in a state read from JSON
	contents int            // the Contents in it, to make room for
}

// Dissolved is a dissolved species.
type Dissolved struct {
	Species     string    `json:"species"`
	MolPerLitre float64   `json:"mol_per_l"`
	Made        []Content `json:"made_of"` // the components in one of it
}

// Content is how much of a component one unit of a species holds.
type Content struct {
	Component string  `json:"component"`
	N         float64 `json:"n"`
}

// Solid is a solid phase that may be present.
type Solid struct {
	Species       string    `json:"species"`
	Name          string    `json:"name"`
	Moles         float64   `json:"mol"`            // in the vessel
	LogSaturation float64   `json:"log_saturation"` // log10 Q/Ks; 0 when the solid is there, below when it is not
	Made          []Content `json:"made_of"`        // the components in one formula of it
}

// Share is how much there is of a component.
type Share struct {
	Species          string       `json:"species"`
	Class            tables.Class `json:"class,omitempty"` // what it counts as
	TotalMolPerLitre float64      `json:"total_mol_per_l"` // in all forms, solids included; where air or a buffer holds it, what that takes
	FreeMolPerLitre  float64      `json:"free_mol_per_l"`  // the bare component
}

func contentOf(made []Content, component string) float64 {
	for _, c := range made {
		if c.Component == component {
			return c.N
		}
	}
	return 0
}

// Equilibrate finds the state of the vessel. The solver cannot fail on contents that exist; an
// error means that the vessel has no water or that its contents cannot be met, such as a negative
// amount of a metal.
func (s *Solution) Equilibrate() (*State, error) {
	if s.state == nil {
		r, err := s.Solve()
		if err != nil {
			return nil, err
		}
		defer r.Return()
		if s.state, err = s.record(r); err != nil {
			return nil, err
		}
	}
	return s.state.clone(), nil
}

// clone returns a copy that shares nothing that can be changed.
func (st *State) clone() *State {
	c := *st
	c.Species, c.Solids = slices.Clone(st.Species), slices.Clone(st.Solids)
	c.Components, c.Warnings = slices.Clone(st.Components), slices.Clone(st.Warnings)
	room := make([]Content, 0, st.contents)
	separate := func(made *[]Content) {
		k := len(room)
		room = append(room, *made...)
		*made = room[k:len(room):len(room)]
	}
	for j := range c.Species {
		separate(&c.Species[j].Made)
	}
	for k := range c.Solids {
		separate(&c.Solids[k].Made)
	}
	return &c
}

func celsius(t unit.Temperature) float64 { return float64(t - chem.Celsius(0)) }

func (s *Solution) record(run *compiled.Run) (*State, error) {
	r := &run.Result
	st := &State{
		PH: run.PH(), PConcH: run.PConcH(), IonicStrengthMolPerLitre: r.Ionic,
		TemperatureC: celsius(s.setting.Temperature), VolumeLitres: s.volume,
		Residual: r.Residual, Warnings: warnings(run),
		tables: s.setting.Tables, contents: run.Terms,
	}
	base, err := run.Drift(func(rate []float64) { rate[0] = -1 })
	if err != nil {
		return nil, err
	}
	if base.PH != 0 {
		st.BufferCapacityMolPerLitre = 1 / base.PH
	}
	room := make([]Content, 0, run.Terms)
	made := func(j int) []Content {
		k := len(room)
		for _, c := range run.Made[j] {
			room = append(room, Content{run.Stock.Text[c.Component], c.N})
		}
		return room[k:len(room):len(room)]
	}
	st.Species = make([]Dissolved, 0, len(r.C))
	for j, c := range r.C {
		if c > 0 {
			st.Species = append(st.Species, Dissolved{run.Text[j], c, made(j)})
		}
	}
	slices.SortStableFunc(st.Species, func(a, b Dissolved) int { return cmp.Compare(b.MolPerLitre, a.MolPerLitre) })
	for k, name := range run.Names {
		if !(r.Saturation[k] > math.Inf(-1)) {
			continue // one of its components is missing, or its constant says that it is left out
		}
		j := len(run.Species) + k
		st.Solids = append(st.Solids, Solid{run.Text[j], name, r.Solid[k] * s.volume, r.Saturation[k] / math.Ln10, made(j)})
	}
	slices.SortFunc(st.Solids, func(a, b Solid) int { return cmp.Compare(a.Name, b.Name) })
	for i, c := range run.Members {
		share := Share{run.Stock.Text[c], run.Components[c].Class, s.amounts[c] / s.volume, r.C[run.Bare[i]]}
		if run.Conditions.Held[i] || i == 0 && run.Carbonate >= 0 {
			share.TotalMolPerLitre = run.Total(i)
		}
		if share.TotalMolPerLitre != 0 || i == 0 {
			st.Components = append(st.Components, share)
		}
	}
	return st, nil
}

// find returns the formula of a species from any spelling or a name: without tables, after JSON, of
// those listed.
func (st *State) find(species string) (formula string, aqueous bool, err error) {
	st = cmp.Or(st, new(State))
	if st.tables != nil {
		f, err := st.tables.Formation(species)
		return f.Species.String(), f.Species.Phase == chem.Aqueous, err
	}
	asked, err := chem.ParseSpecies(species)
	for _, d := range st.Species {
		listed, e := chem.ParseSpecies(d.Species)
		if d.Species == species || err == nil && e == nil && listed.Equal(asked) {
			return d.Species, true, nil
		}
	}
	for _, p := range st.Solids {
		if p.Species == species || strings.EqualFold(p.Name, species) {
			return p.Species, false, nil
		}
	}
	return "", false, &chem.InputError{Field: "species", Value: chem.Echo(species), Want: "one listed in this state, which has no tables to look further", Kind: tables.ErrNotFound}
}

// Concentration returns the concentration of a dissolved species in mol/L, by formula, in any
// spelling, or by name; 0 if the vessel has none of it. A name that the tables do not know gives an
// error that wraps [tables.ErrNotFound].
func (st *State) Concentration(species string) (float64, error) {
	formula, aqueous, err := st.find(species)
	if err != nil {
		return 0, err
	}
	if !aqueous {
		return 0, &chem.InputError{Field: "species", Value: chem.Echo(species), Want: "one that is dissolved"}
	}
	for _, d := range st.Species {
		if d.Species == formula {
			return d.MolPerLitre, nil
		}
	}
	return 0, nil
}

// P returns −log10 of what [State.Concentration] returns, +Inf if the vessel has none of it.
func (st *State) P(species string) (float64, error) {
	c, err := st.Concentration(species)
	return -math.Log10(c), err
}

// Fraction is the part of a component that one species holds.
type Fraction struct {
	Species string  `json:"species"`
	Value   float64 `json:"fraction"` // 0 to 1 of the component dissolved and solid
}

// Distribution returns how a metal or a ligand, by formula or name, is spread over the species that
// hold it, solids included, largest first; nothing if the vessel has none of it. For H⁺, whose
// total may be negative, it is the spread over the species that carry H⁺. What is no component
// gives an error that wraps [tables.ErrNotFound].
func (st *State) Distribution(component string) ([]Fraction, error) {
	if st = cmp.Or(st, new(State)); !slices.ContainsFunc(st.Components, func(c Share) bool { return c.Species == component }) {
		var err error
		if st.tables == nil {
			component, _, err = st.find(component)
		} else {
			var c tables.Component
			c, err = st.tables.Component(component)
			component = c.Species.String()
		}
		if err != nil {
			return nil, err
		}
	}
	var out []Fraction
	sum := 0.0
	add := func(species string, n float64) {
		if n > 0 {
			out = append(out, Fraction{species, n})
			sum += n
		}
	}
	for _, d := range st.Species {
		add(d.Species, contentOf(d.Made, component)*d.MolPerLitre)
	}
	for _, p := range st.Solids {
		add(p.Species, contentOf(p.Made, component)*p.Moles/st.VolumeLitres)
	}
	for k := range out {
		out[k].Value /= sum
	}
	slices.SortStableFunc(out, func(a, b Fraction) int { return cmp.Compare(b.Value, a.Value) })
	return out, nil
}

// Class returns what a component of the vessel, by its formula, counts as; nothing for others.
func (st *State) Class(component string) tables.Class {
	for _, c := range cmp.Or(st, new(State)).Components {
		if c.Species == component {
			return c.Class
		}
	}
	return ""
}
