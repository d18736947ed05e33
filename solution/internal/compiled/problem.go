package compiled

import (
	"maps"
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/equilibrium"
	"example.com/chelation/tables"
)

// Problem is the equilibrium problem of a vessel in one setting: which components, species and
// solids there are, compiled for the solver. Nothing in it changes, so that any number of vessels
// and goroutines share it.
type Problem struct {
	*Setting
	Members []int                  // indices into the tables' components, the proton first
	Forms   []tables.Formation     // Species, then Solids
	Species []tables.Formation     // dissolved
	Solids  []tables.Formation     // that may form
	Text    []string               // the formulas of Forms
	Names   []string               // of Solids, in the tables
	Made    [][]tables.Coefficient // of Forms, in components of the tables
	Terms   int                    // coefficients in Made
	Bare    []int                  // the species that each member is by itself

	// An open vessel is described by H2CO3 in the place of CO3^2-, held at the strength that the
	// air keeps up.
	Carbonate int           // position of CO3^2- among the members, -1 unless open
	Air       []tables.Step // that Henry's constant rests on
	lnCO2     float64
	epsCO2    float64

	Medium equilibrium.Medium // shared by all runs: to be replaced, not written to
	place  []int              // from the tables' components to members, -1 for the rest
	charge []float64          // of each member
	system *equilibrium.System
	runs   sync.Pool // of *Run
	fitted func() []Fitted
}

// compile makes the problem of a vessel that holds these components.
func (s *Setting) compile(components []int) (*Problem, error) {
	p := &Problem{Setting: s, Carbonate: -1, Members: []int{s.Proton}}
	p.runs.New = func() any { return p.newRun() }
	p.fitted = sync.OnceValue(p.fittedReactions)
	co3 := -1
	if s.CO2 > 0 {
		co3 = slices.Index(s.Text, carbonate)
	}
	for i := range s.Components {
		if i != s.Proton && (i == co3 || slices.Contains(components, i)) {
			p.Members = append(p.Members, i)
		}
	}
	p.place = slices.Repeat([]int{-1}, len(s.Components))
	for i, c := range p.Members {
		p.place[c] = i
		p.charge = append(p.charge, float64(s.Components[c].Species.Formula.Charge()))
	}
	p.Species = s.Tables.Formations(p.Members, chem.Aqueous)
	p.chooseSolids()
	dissolved := len(p.Species)
	p.Forms = slices.Concat(p.Species, p.Solids)
	p.Species, p.Solids = p.Forms[:dissolved], p.Forms[dissolved:]
	for j, f := range p.Forms {
		p.Text, p.Made = append(p.Text, f.Species.String()), append(p.Made, f.Coefficients)
		p.Terms += len(f.Coefficients)
		s.override(&p.Forms[j])
	}
	for _, c := range p.Members {
		p.Bare = append(p.Bare, slices.Index(p.Text, s.Text[c]))
	}
	if s.CO2 > 0 {
		henry, err := s.Henry()
		if err != nil {
			return nil, err
		}
		p.expose(henry, p.place[co3])
	}
	p.fillMedium(s.Temperature)
	var err error
	p.system, err = equilibrium.New(len(p.Members), p.rows(p.Species), p.rows(p.Solids))
	return p, err
}

func (p *Problem) chooseSolids() {
	known := p.solids()
	for _, f := range p.Tables.Formations(p.Members, chem.Solid) {
		name := f.Species.String()
		may, told := p.Forming[name]
		if may || !told && known[name].Forms == tables.Forms {
			p.Solids, p.Names = append(p.Solids, f), append(p.Names, known[name].Name)
		}
	}
}

// expose puts H2CO3 in the place of CO3^2-, a member, and holds it in balance with the CO2 of the
// setting.
func (p *Problem) expose(henry tables.Formation, co3 int) {
	k := slices.IndexFunc(p.Species, func(f tables.Formation) bool { return f.Species.Equal(carbonicAcid) })
	acid := p.Species[k]
	p.Carbonate = co3
	p.lnCO2 = math.Ln10*henry.Constant.Log10K(p.Temperature, 0) + math.Log(p.CO2)
	p.epsCO2, p.Air = henry.Constant.DeltaEps, henry.Steps
	for i, f := range p.Forms {
		if n := f.Of(p.Members[co3]); n != 0 {
			p.Forms[i] = f.Plus(-n, acid)
			p.Forms[i].Coefficients = append(p.Forms[i].Coefficients, tables.Coefficient{Component: p.Members[co3], N: n})
		}
	}
	p.charge[co3] = 0
}

func (p *Problem) rows(formations []tables.Formation) [][]float64 {
	out := make([][]float64, len(formations))
	all := make([]float64, len(formations)*len(p.Members))
	for j, f := range formations {
		out[j], all = all[:len(p.Members):len(p.Members)], all[len(p.Members):]
		for _, c := range f.Coefficients {
			out[j][p.place[c.Component]] = c.N
		}
	}
	return out
}

// fillMedium takes the constants at a temperature and how they move with ionic strength.
func (p *Problem) fillMedium(temperature unit.Temperature) {
	d := &p.Medium
	d.A = chem.DebyeHuckelA(temperature)
	for _, f := range p.Species {
		z := float64(f.Species.Formula.Charge())
		d.LnK0 = append(d.LnK0, math.Ln10*f.Constant.Log10K(temperature, 0))
		d.DZ2 = append(d.DZ2, f.Constant.DeltaZ2)
		d.DEps = append(d.DEps, f.Constant.DeltaEps)
		d.Z2 = append(d.Z2, z*z)
	}
	for _, f := range p.Solids {
		d.LnKs0 = append(d.LnKs0, -math.Ln10*f.Constant.Log10K(temperature, 0))
		d.DZ2S = append(d.DZ2S, -f.Constant.DeltaZ2)
		d.DEpsS = append(d.DEpsS, -f.Constant.DeltaEps)
	}
	d.CompZ2, d.CompEps = make([]float64, len(p.Members)), make([]float64, len(p.Members))
	for i, z := range p.charge {
		d.CompZ2[i] = z * z
	}
	if c := p.Carbonate; c >= 0 {
		d.CompEps[c] = p.epsCO2
	}
	if p.Ideal {
		d.A = 0
		clear(d.DEps)
		clear(d.DEpsS)
		clear(d.CompEps)
	}
}

// Member returns component i of the vessel.
func (p *Problem) Member(i int) tables.Component { return p.Components[p.Members[i]] }

// Place returns the position of a component of the tables among the members, -1 where it is none.
func (p *Problem) Place(component int) int { return p.place[component] }

// Fitted is a reaction that the problem's constants rest on.
type Fitted struct {
	Index    int    // among the tables' equilibria
	Reaction string // as text
	tables.Equilibrium
}

// fittedReactions returns those that the problem's constants rest on, in the order of the tables.
func (p *Problem) fittedReactions() []Fitted {
	used := map[int]bool{}
	for _, f := range append(slices.Clip(p.Forms), tables.Formation{Steps: p.Air}) {
		for _, step := range f.Steps {
			used[step.Equilibrium] = true
		}
	}
	var out []Fitted
	for _, i := range slices.Sorted(maps.Keys(used)) {
		if e, ok := p.Tables.EquilibriumAt(i); ok {
			out = append(out, Fitted{i, e.Reaction.String(), e})
		}
	}
	return out
}
