package bath

import (
	"cmp"
	"slices"

	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// Holding tells what holds a chelant.
type Holding struct {
	Chelant       string  `json:"chelant"` // the bare anion
	Strong        bool    `json:"strong"`  // holds iron one to one far into the alkaline
	TotalMoles    float64 `json:"total_mol"`
	HardnessMoles float64 `json:"with_hardness_mol"`
	IronMoles     float64 `json:"with_iron_mol"`
	OthersMoles   float64 `json:"with_other_metals_mol"`
	SettledMoles  float64 `json:"settled_as_acid_mol"` // as solid acid
	FreeMoles     float64 `json:"free_mol"`            // alone, with protons, or with sodium and potassium
}

// Holdings are the chelants of a vessel and what holds them.
type Holdings []Holding

// Holdings returns the chelants of the bath and what holds them.
func (b *Bath) Holdings() (Holdings, error) {
	st, err := b.State()
	if err != nil {
		return nil, err
	}
	return HoldingsOf(st), nil
}

// HoldingsOf returns the chelants of a state, as the tables class them.
func HoldingsOf(st *solution.State) Holdings {
	var out Holdings
	for _, c := range cmp.Or(st, new(solution.State)).Components {
		if !c.Class.Chelant() {
			continue
		}
		h := Holding{Chelant: c.Species, Strong: c.Class == tables.StrongChelant, TotalMoles: c.TotalMolPerLitre * st.VolumeLitres}
		count := func(made []solution.Content, moles float64, alone *float64) {
			i := slices.IndexFunc(made, func(part solution.Content) bool { return part.Component == h.Chelant })
			switch {
			case i < 0:
				return
			case classIn(st, made, tables.IronMetal) > 0:
				alone = &h.IronMoles
			case classIn(st, made, tables.HardnessMetal) > 0:
				alone = &h.HardnessMoles
			case classIn(st, made, tables.OtherMetal) > 0:
				alone = &h.OthersMoles
			}
			*alone += made[i].N * moles
		}
		for _, d := range st.Species {
			count(d.Made, d.MolPerLitre*st.VolumeLitres, &h.FreeMoles)
		}
		for _, s := range st.Solids {
			count(s.Made, s.Moles, &h.SettledMoles)
		}
		out = append(out, h)
	}
	return out
}

// classIn returns how often components of a class go into what a species is made of.
func classIn(st *solution.State, made []solution.Content, class tables.Class) (n float64) {
	for _, part := range made {
		if st.Class(part.Component) == class {
			n += part.N
		}
	}
	return n
}

// Of returns what holds one chelant; nothing where there is none of it.
func (h Holdings) Of(chelant string) Holding {
	i := slices.IndexFunc(h, func(x Holding) bool { return x.Chelant == chelant })
	if i < 0 {
		return Holding{}
	}
	return h[i]
}

// Counted returns the main chelants: the strong ones, or all where none is strong.
func (h Holdings) Counted() Holdings {
	if strong := slices.DeleteFunc(slices.Clone(h), func(x Holding) bool { return !x.Strong }); len(strong) > 0 {
		return strong
	}
	return h
}

// Total adds up the chelants in mol.
func (h Holdings) Total() (n float64) {
	for _, x := range h {
		n += x.TotalMoles
	}
	return n
}

// Free adds up in mol the chelants that no metal holds, settled acid among them.
func (h Holdings) Free() (n float64) {
	for _, x := range h {
		n += x.FreeMoles + x.SettledMoles
	}
	return n
}

// ironDissolved returns the moles of iron in solution.
func ironDissolved(st *solution.State) (n float64) {
	for _, d := range st.Species {
		n += classIn(st, d.Made, tables.IronMetal) * d.MolPerLitre
	}
	return n * st.VolumeLitres
}
