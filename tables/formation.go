package tables

import (
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"sort"
	"strings"

	"example.com/chelation/chem"
)

// Formation is a species made from components, with the constant of the whole
// formation reaction. Water is implied and has no coefficient.
type Formation struct {
	Species      chem.Species
	Coefficients []Coefficient // sorted as the components are
	Constant     chem.Constant
	Equilibria   []int // indices into [Tables.Equilibria] of the reactions added up
}

// Coefficient is how often a component goes into a species.
type Coefficient struct {
	Component int // index into [Tables.Components]
	N         float64
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

// deriveFormations adds up reactions until every species is expressed in the
// components. A reaction must bring in exactly one new species; one that
// brings in none would count twice.
func (t *Tables) deriveFormations(fs.FS) error {
	known := map[string]*Formation{"H2O": {}}
	for i, c := range t.components.items {
		known[c.Species.String()] = &Formation{Species: c.Species, Coefficients: []Coefficient{{i, 1}}}
	}
	defined := map[string]int{} // species to equilibrium
	todo := make([]int, len(t.equilibria))
	for i := range todo {
		todo[i] = i
	}
	for len(todo) > 0 {
		var rest []int
		fresh := map[string]*Formation{}
		for _, i := range todo {
			e := &t.equilibria[i]
			var unknown []chem.Term
			for _, term := range e.Reaction.Terms {
				if known[term.Species.String()] == nil {
					unknown = append(unknown, term)
				}
			}
			switch {
			case len(unknown) == 0:
				return fmt.Errorf("%w: %s.csv: %s counts a species twice", ErrData, e.Table, e.Reaction)
			case len(unknown) > 1:
				rest = append(rest, i)
				continue
			}
			name := unknown[0].Species.String()
			if j, twice := defined[name]; twice {
				return fmt.Errorf("%w: %s is defined by both %s and %s", ErrData, name, t.equilibria[j].Reaction, e.Reaction)
			}
			defined[name] = i
			fresh[name] = t.form(i, unknown[0], known)
		}
		if len(fresh) == 0 {
			e := t.equilibria[rest[0]]
			return fmt.Errorf("%w: %s.csv: %s does not lead back to the components", ErrData, e.Table, e.Reaction)
		}
		maps.Copy(known, fresh)
		todo = rest
	}
	delete(known, "H2O")
	for _, name := range slices.Sorted(maps.Keys(known)) {
		t.bySpecies[name] = len(t.formations)
		t.formations = append(t.formations, *known[name])
	}
	return nil
}

// form solves equilibrium i for the species of one of its terms.
func (t *Tables) form(i int, target chem.Term, known map[string]*Formation) *Formation {
	e := &t.equilibria[i]
	n := target.Coefficient
	f := &Formation{Species: target.Species, Constant: chem.Constant{}.Plus(1/n, e.Constant), Equilibria: []int{i}}
	sum := make([]float64, len(t.components.items))
	for _, term := range e.Reaction.Terms {
		if term.Species.Equal(target.Species) {
			continue
		}
		part := known[term.Species.String()]
		weight := -term.Coefficient / n
		f.Constant = f.Constant.Plus(weight, part.Constant)
		for _, j := range part.Equilibria {
			if !slices.Contains(f.Equilibria, j) {
				f.Equilibria = append(f.Equilibria, j)
			}
		}
		for _, c := range part.Coefficients {
			sum[c.Component] += weight * c.N
		}
	}
	for c, n := range sum {
		if n > 1e-9 || n < -1e-9 {
			f.Coefficients = append(f.Coefficients, Coefficient{c, n})
		}
	}
	return f
}

// Formation returns how a species is made, by its formula in any spelling that
// [chem.ParseSpecies] reads.
func (t *Tables) Formation(species string) (Formation, error) {
	i, ok := t.bySpecies[canonical(strings.TrimSpace(species))]
	if !ok {
		names := catalogue[string]{kind: "species"}
		for _, f := range t.formations {
			names.add("", f.Species.String(), f.Species.String())
		}
		return Formation{}, &NotFoundError{"species", species, names.near(species)}
	}
	return t.formations[i], nil
}

// Formations returns every species that can be made from the given components
// (indices into [Tables.Components]), those that are dissolved or all of
// them, sorted by formula. Each component itself is among them.
func (t *Tables) Formations(components []int, phases ...chem.Phase) []Formation {
	var out []Formation
	for _, f := range t.formations {
		inside := len(phases) == 0 || slices.Contains(phases, f.Species.Phase)
		for _, c := range f.Coefficients {
			inside = inside && slices.Contains(components, c.Component)
		}
		if inside {
			out = append(out, f)
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].Species.String() < out[j].Species.String() })
	return out
}
