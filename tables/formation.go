package tables

import (
	"cmp"
	"io/fs"
	"maps"
	"math"
	"slices"

	"example.com/chelation/chem"
)

// Formation is a species made from components, with the constant of the whole formation reaction.
// Water is implied and has no coefficient.
type Formation struct {
	Species      chem.Species  `json:"species"`
	Coefficients []Coefficient `json:"coefficients"` // sorted as the components are
	Constant     chem.Constant `json:"constant"`     // of the formation from the components, mol/L
	Steps        []Step        `json:"steps"`        // the fitted reactions added up, the last one first
}

// Step is a fitted reaction on the way to a species.
type Step struct {
	Equilibrium int     `json:"equilibrium_index"` // index: see [Tables.EquilibriumAt]
	N           float64 `json:"n"`                 // how often the reaction is taken; negative when it runs backwards
}

// Coefficient is how often a component goes into a species.
type Coefficient struct {
	Component int     `json:"component_index"` // index into [Tables.Components]
	N         float64 `json:"n"`               // atoms or groups of it per species; negative for H⁺ that is given off
}

// Of returns the coefficient of a component.
func (f Formation) Of(component int) float64 {
	for _, c := range f.Coefficients {
		if c.Component == component {
			return c.N
		}
	}
	return 0
}

// deriveFormations adds up reactions until every species is expressed in the components. A reaction
// must bring in exactly one new species; one that brings in none would count twice.
func (t *Tables) deriveFormations([]fs.FS) error {
	t.formations = []Formation{{}}
	known := map[string]int{"H2O": 0} // species to formation
	for i, c := range listed[Component](t).items {
		known[c.Species.String()] = len(t.formations)
		t.formations = append(t.formations, Formation{Species: c.Species, Coefficients: []Coefficient{{i, 1}}})
	}
	const some = 8 // room for as many as there are as a rule
	coefficients, steps := make([]Coefficient, some*len(t.equilibria)), make([]Step, some*len(t.equilibria))
	made := make([]bool, len(t.equilibria))
	for before := 0; before < len(known); {
		before = len(known)
		for i, e := range t.equilibria {
			unknown, target := 0, chem.Term{}
			for _, term := range e.Reaction.Terms {
				if _, ok := known[term.Species.String()]; !ok {
					unknown, target = unknown+1, term
				}
			}
			switch {
			case made[i] || unknown > 1:
			case unknown == 0:
				return t.badEquilibrium(i, "a reaction that makes a new species: it would count twice")
			default:
				made[i], known[target.Species.String()] = true, len(t.formations)
				room := Formation{Coefficients: coefficients[some*i : some*i : some*i+some], Steps: steps[some*i : some*i : some*i+some]}
				t.formations = append(t.formations, t.form(room, i, target, known))
			}
		}
	}
	if i := slices.Index(made, false); i >= 0 {
		return t.badEquilibrium(i, "reactions that lead back to the components")
	}
	delete(known, "H2O")
	found := t.formations
	t.formations = make([]Formation, 0, len(known))
	for _, name := range slices.Sorted(maps.Keys(known)) {
		t.bySpecies[name] = len(t.formations)
		t.formations = append(t.formations, found[known[name]])
	}
	return nil
}

// form solves equilibrium i for the species of one of its terms, in the room of f. Each fitted
// reaction enters the sum once, with its net coefficient: what two parts have in common is not
// independent.
func (t *Tables) form(f Formation, i int, target chem.Term, known map[string]int) Formation {
	n := target.Coefficient
	f.Species, f.Steps = target.Species, append(f.Steps, Step{i, 1 / n})
	for _, term := range t.equilibria[i].Reaction.Terms {
		if !term.Species.Equal(target.Species) {
			f.add(-term.Coefficient/n, &t.formations[known[term.Species.String()]])
		}
	}
	slices.SortFunc(f.Coefficients, func(a, b Coefficient) int { return cmp.Compare(a.Component, b.Component) })
	f.Constant = t.along(f.Steps)
	return f
}

func (t *Tables) along(steps []Step) (k chem.Constant) {
	for _, step := range steps {
		k = k.Plus(step.N, t.equilibria[step.Equilibrium].Constant)
	}
	return k
}

// Plus returns the formation of f's species by a reaction to which that of g is added n times, as
// when g's species takes the place of a component. Their constants add up as if independent.
func (f Formation) Plus(n float64, g Formation) Formation {
	f = f.clone()
	f.Constant = f.Constant.Plus(n, g.Constant)
	f.add(n, &g)
	return f
}

// add is Plus in place, constants apart.
func (f *Formation) add(n float64, g *Formation) {
	for _, c := range g.Coefficients {
		k := slices.IndexFunc(f.Coefficients, func(o Coefficient) bool { return o.Component == c.Component })
		if k < 0 {
			k = len(f.Coefficients)
			f.Coefficients = append(f.Coefficients, Coefficient{c.Component, 0})
		}
		f.Coefficients[k].N += n * c.N
	}
	f.Coefficients = slices.DeleteFunc(f.Coefficients, func(c Coefficient) bool { return math.Abs(c.N) < rounding })
	for _, step := range g.Steps {
		k := slices.IndexFunc(f.Steps, func(o Step) bool { return o.Equilibrium == step.Equilibrium })
		if k < 0 {
			k = len(f.Steps)
			f.Steps = append(f.Steps, Step{step.Equilibrium, 0})
		}
		f.Steps[k].N += n * step.N
	}
	f.Steps = slices.DeleteFunc(f.Steps, func(s Step) bool { return math.Abs(s.N) < rounding })
}

// rounding is what adding up fractions leaves of nothing.
const rounding = 1e-9

// Formation returns how a species is made, by its formula in any spelling or by name: bicarbonate,
// goethite.
func (t *Tables) Formation(species string) (Formation, error) {
	if i, ok := t.lookUp(species); ok {
		return t.formations[i].clone(), nil
	}
	return Formation{}, t.noSpecies(species)
}

// noSpecies is the error for what is no species: a reagent, with what it dissolves into, or an
// unknown name.
func (t *Tables) noSpecies(name string) error {
	if i, known := listed[Reagent](t).at[plain(name)]; known {
		r := listed[Reagent](t).items[i]
		return &chem.InputError{Field: "species", Value: chem.Echo(name), Want: "a species of the tables; this is the reagent " + r.Name + ", " + r.Dissolution.String(), Kind: ErrNotFound}
	}
	var formulas catalogue[Entry]
	for _, f := range cmp.Or(t, none).formations {
		formulas.add(Entry{ID: f.Species.String()})
	}
	return notFound("species", name, append(listed[commonName](t).near(name), formulas.near(name)...))
}

func (t *Tables) lookUp(species string) (int, bool) {
	if i, ok := cmp.Or(t, none).bySpecies[t.canonical(species)]; ok {
		return i, true
	}
	names := listed[commonName](t)
	if k, ok := names.at[plain(species)]; ok {
		return t.bySpecies[names.items[k].species], true
	}
	return 0, false
}

func (f Formation) clone() Formation {
	f.Coefficients, f.Steps = slices.Clone(f.Coefficients), slices.Clone(f.Steps)
	return f
}

// commonName is a species by its common names; formulas are found elsewhere.
type commonName struct {
	species string
	Entry
}

// loadNames reads the common names of species that are neither components nor solids, and joins
// them with theirs.
func (t *Tables) loadNames(files []fs.FS) error {
	rows := t.read(files, "names.csv")
	for _, c := range listed[Component](t).items {
		enter(t, commonName{c.ID, c.Entry})
	}
	for _, s := range listed[Solid](t).items {
		enter(t, commonName{s.ID, s.Entry})
	}
	for _, r := range rows.rows {
		e := r.entry()
		i, ok := t.bySpecies[r.species("species").String()]
		seen := slices.ContainsFunc(listed[commonName](t).items, func(n commonName) bool { return n.species == e.ID })
		if !ok || seen || t.formations[i].Species.Phase == chem.Solid || len(t.formations[i].Steps) == 0 {
			r.fail("species", "a species made by a reaction, not a solid, that occurs once")
		}
		add(r, commonName{e.ID, Entry{Name: e.Name, Synonyms: e.Synonyms}})
	}
	return rows.err()
}

// Name returns the common name of a species, or "" if it has none.
func (t *Tables) Name(species chem.Species) string {
	text := species.String()
	for _, n := range listed[commonName](t).items {
		if n.species == text {
			return n.Name
		}
	}
	return ""
}

// Between returns the species that hold each of the named components and no others save H⁺ and OH⁻,
// dissolved and solid: what a metal and a ligand make, say, or the protonated forms of a ligand
// alone. They are sorted by how often they hold the components, in the order given, then by falling
// protons.
func (t *Tables) Between(components ...string) ([]Formation, error) {
	var want []int
	for _, name := range components {
		c, err := t.Component(name)
		if err != nil {
			return nil, err
		}
		want = append(want, listed[Component](t).at[plain(c.Species.String())])
	}
	proton := t.proton()
	out := slices.DeleteFunc(t.Formations(append(want, proton)), func(f Formation) bool {
		return slices.ContainsFunc(want, func(c int) bool { return f.Of(c) == 0 })
	})
	slices.SortStableFunc(out, func(a, b Formation) int {
		by := cmp.Compare(a.Species.Phase, b.Species.Phase)
		for _, c := range want {
			by = cmp.Or(by, cmp.Compare(a.Of(c), b.Of(c)))
		}
		return cmp.Or(by, cmp.Compare(b.Of(proton), a.Of(proton)))
	})
	return out, nil
}

// Constant returns the constant of any reaction between species of the tables, added up from those
// that make them:
//
//	t.Constant("Fe(OH)3(s, ferrihydrite) + Hedta3- + 2 H+ = Fe(edta)- + 3 H2O")
func (t *Tables) Constant(equation string) (chem.Constant, error) {
	t = cmp.Or(t, none)
	r, err := t.notation.ParseReaction(equation)
	if err = cmp.Or(err, r.Check()); err != nil {
		return chem.Constant{}, err
	}
	k, missing := t.sum(r)
	if missing != "" {
		return chem.Constant{}, t.noSpecies(missing)
	}
	return k, nil
}

// sum adds up the formations of all participants, or tells which of them is missing.
func (t *Tables) sum(r chem.Reaction) (k chem.Constant, missing string) {
	var f Formation
	for _, term := range r.Terms {
		name := term.Species.String()
		if i, ok := t.bySpecies[name]; ok {
			f.add(term.Coefficient, &t.formations[i])
		} else if name != "H2O" {
			return chem.Constant{}, name
		}
	}
	return t.along(f.Steps), ""
}

// Formations returns every species that can be made from the given components (indices into
// [Tables.Components]), of the given phases or of all, sorted by formula. Each component itself is
// among them.
func (t *Tables) Formations(components []int, phases ...chem.Phase) []Formation {
	var out []Formation
	for _, f := range cmp.Or(t, none).formations {
		inside := len(phases) == 0 || slices.Contains(phases, f.Species.Phase)
		for _, c := range f.Coefficients {
			inside = inside && slices.Contains(components, c.Component)
		}
		if inside {
			out = append(out, f.clone())
		}
	}
	return out
}
