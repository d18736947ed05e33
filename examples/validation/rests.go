package main

import (
	"slices"

	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// formation looks up a species and notes that the row rests on the reactions that
// make it.
func (in *input) formation(t *tables.Tables, species string) (tables.Formation, error) {
	f, err := t.Formation(species)
	in.restOn(f)
	return f, err
}

func (in *input) restOn(formations ...tables.Formation) {
	if in.rests == nil {
		in.rests = map[int]bool{}
	}
	for _, f := range formations {
		for _, step := range f.Steps {
			in.rests[step.Equilibrium] = true
		}
	}
}

// equilibrate finds the state of a vessel and notes that the row rests on
// all that its contents can make.
func equilibrate(t *tables.Tables, in *input, s *solution.Solution) (*solution.State, error) {
	st, err := s.Equilibrate()
	if err != nil {
		return nil, err
	}
	in.restOn(t.Formations(contents(t, st))...)
	return st, nil
}

// contents are the components of a state, as indices into those of the tables.
func contents(t *tables.Tables, st *solution.State) []int {
	all := t.Components()
	var out []int
	for _, share := range st.Components {
		out = append(out, slices.IndexFunc(all, func(c tables.Component) bool { return c.Species.String() == share.Species }))
	}
	return out
}

// makings are the species of a state with their concentrations in mol/L, solids
// spread over the solution.
func makings(t *tables.Tables, st *solution.State) ([]making, error) {
	var out []making
	add := func(s string, c float64) error {
		f, err := t.Formation(s)
		out = append(out, making{f, c})
		return err
	}
	for _, d := range st.Species {
		if err := add(d.Species, d.MolPerLitre); err != nil {
			return nil, err
		}
	}
	for _, x := range st.Solids {
		if err := add(x.Species, x.Moles/st.VolumeLitres); err != nil {
			return nil, err
		}
	}
	return out, nil
}

type making struct {
	tables.Formation
	molPerLitre float64
}
