package bath

import (
	"example.com/chelation/chem"
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

// HoldingsOf returns the chelants of a state, as the tables class them, and what
// holds them.
func HoldingsOf(st *solution.State) Holdings {
	var out Holdings
	for _, c := range st.Components {
		if !c.Class.Chelant() || c.TotalMolPerLitre <= 0 {
			continue
		}
		h := Holding{Chelant: c.Species, Strong: c.Class == tables.StrongChelant, TotalMoles: c.TotalMolPerLitre * st.VolumeLitres}
		for _, d := range st.Species {
			h.hold(st, c.Species, d.Made, chem.Aqueous, d.MolPerLitre*st.VolumeLitres)
		}
		for _, s := range st.Solids {
			h.hold(st, c.Species, s.Made, chem.Solid, s.Moles)
		}
		out = append(out, h)
	}
	return out
}

// hold counts so many moles of a species that is made of the chelant and others.
func (h *Holding) hold(st *solution.State, chelant string, made []solution.Content, phase chem.Phase, moles float64) {
	n := 0.0
	with := map[tables.Class]bool{}
	for _, part := range made {
		if part.Component == chelant {
			n = part.N * moles
			continue
		}
		with[st.Class(part.Component)] = true
	}
	switch {
	case n == 0:
	case with[tables.IronMetal]:
		h.IronMoles += n
	case with[tables.HardnessMetal]:
		h.HardnessMoles += n
	case with[tables.OtherMetal]:
		h.OthersMoles += n
	case phase == chem.Solid:
		h.SettledMoles += n
	default:
		h.FreeMoles += n
	}
}

// Of returns what holds one chelant; nothing where there is none of it.
func (h Holdings) Of(chelant string) Holding {
	for _, x := range h {
		if x.Chelant == chelant {
			return x
		}
	}
	return Holding{}
}

// Strong returns the strong chelants.
func (h Holdings) Strong() Holdings {
	var out Holdings
	for _, x := range h {
		if x.Strong {
			out = append(out, x)
		}
	}
	return out
}

// Counted returns the strong chelants, or all where none is strong: those by which
// one tells how far a bath is used.
func (h Holdings) Counted() Holdings {
	if strong := h.Strong(); strong.Total() > 0 {
		return strong
	}
	return h
}

// Total adds up the chelants in mol.
func (h Holdings) Total() float64 {
	n := 0.0
	for _, x := range h {
		n += x.TotalMoles
	}
	return n
}

// Free adds up in mol the chelants that no metal holds, settled acid among them.
func (h Holdings) Free() float64 {
	n := 0.0
	for _, x := range h {
		n += x.FreeMoles + x.SettledMoles
	}
	return n
}

// ironIn returns the irons in one of what is made so.
func ironIn(st *solution.State, made []solution.Content) float64 {
	n := 0.0
	for _, part := range made {
		if st.Class(part.Component) == tables.IronMetal {
			n += part.N
		}
	}
	return n
}

// ironDissolved returns the moles of iron in solution.
func ironDissolved(st *solution.State) float64 {
	n := 0.0
	for _, c := range st.Components {
		if c.Class == tables.IronMetal {
			n += c.TotalMolPerLitre * st.VolumeLitres
		}
	}
	for _, s := range st.Solids {
		n -= ironIn(st, s.Made) * s.Moles
	}
	return max(0, n)
}

// molesOf returns the moles of a component in the vessel, 0 if it is not there.
func molesOf(st *solution.State, component string) float64 {
	for _, c := range st.Components {
		if c.Species == component {
			return c.TotalMolPerLitre * st.VolumeLitres
		}
	}
	return 0
}
