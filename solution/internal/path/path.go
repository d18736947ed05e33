// Package path is what becomes of a vessel while a second one is poured into it: a titration. It
// serves the rooms under solution, which get one from solution.Solution.Path.
package path

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/compiled"
)

// Path is a run on the way, made for many points: [Path.At] solves for one from the last and
// allocates nothing. It keeps a record of both vessels as they were, and belongs to one goroutine
// at a time.
type Path struct {
	*compiled.Run
	Start       []float64 // mol of each component in the first vessel
	Rate        []float64 // mol of each per litre poured
	StartLitres float64   // of the first vessel
	Litres      float64   // of the solution at the present point
	growth      float64   // of its volume, L per litre poured
	fresh       bool      // the second vessel brings components that the first has not
	poured      float64   // at the present point, L
}

// New returns the path of a run whose vessel holds moles of the tables' components in so many
// litres, while a solution with those moles per litre is poured in, a litre of which makes the
// vessel grow by growth.
func New(run *compiled.Run, moles []float64, litres float64, perLitre []float64, growth float64) *Path {
	n := len(run.Members)
	p := &Path{Run: run, Start: make([]float64, n), Rate: make([]float64, n), StartLitres: litres, growth: growth, poured: math.NaN()}
	run.Medium.LnK0, run.Medium.LnKs0 = slices.Clone(run.Medium.LnK0), slices.Clone(run.Medium.LnKs0) // what Shift changes
	run.Totals(p.Start, moles, 1)
	run.Totals(p.Rate, perLitre, 1)
	p.fresh = slices.ContainsFunc(run.Members, func(c int) bool { return perLitre[c] != 0 && moles[c] == 0 })
	return p
}

// Clone returns an independent path from the same start.
func (p *Path) Clone() *Path {
	c := *p
	c.Run, c.Start, c.Rate = p.Problem.Borrow(), slices.Clone(p.Start), slices.Clone(p.Rate)
	c.poured = math.NaN()
	c.Medium.LnK0, c.Medium.LnKs0 = slices.Clone(p.Medium.LnK0), slices.Clone(p.Medium.LnKs0)
	copy(c.Conditions.Held, p.Conditions.Held)
	copy(c.Conditions.LnHeld, p.Conditions.LnHeld)
	return &c
}

const (
	// The part of the vessel's volume that stands in for nothing poured, where what is poured
	// brings new components: without a trace of them there would be no derivatives.
	firstDrop = 1e-9
	most      = 1e9 // litres from which on nothing can be meant
)

// At solves for the point at which so many litres have been poured.
func (p *Path) At(litres float64) error {
	if err := chem.Within("volume poured", litres, 0, most, "L"); err != nil {
		return err
	}
	v := litres
	if v == 0 && p.fresh {
		v = firstDrop * p.StartLitres
	}
	volume := p.StartLitres + p.growth*v
	for i, n := range p.Start {
		p.Conditions.Total[i] = (n + p.Rate[i]*v) / volume
	}
	if err := p.Run.Solve(); err != nil {
		p.poured = math.NaN()
		return err
	}
	p.poured, p.Litres = litres, volume
	return nil
}

// ready refuses a path that stands at no point.
func (p *Path) ready() error {
	if math.IsNaN(p.poured) {
		return &chem.InputError{Field: "point", Value: "none", Want: "a call of At that succeeds"}
	}
	return nil
}

// Contents returns the moles of the tables' components at the present point.
func (p *Path) Contents() ([]float64, error) {
	if err := p.ready(); err != nil {
		return nil, err
	}
	out := make([]float64, len(p.Components))
	for i, c := range p.Members {
		out[c] = p.Start[i] + p.Rate[i]*p.poured
	}
	if c := p.Carbonate; c >= 0 {
		out[p.Members[0]] += 2 * out[p.Members[c]]
	}
	return out, nil
}

// Component returns the place of a component, by formula, name or synonym, among Members; -1 where
// it is none.
func (p *Path) Component(name string) (int, error) {
	c, err := p.Run.Component(name)
	if err != nil {
		return -1, err
	}
	return p.Place(c), nil
}

// PFree returns −log10 of the free concentration of a component, mol/L: +Inf where there is none of
// it.
func (p *Path) PFree(component int) float64 {
	if p.poured == 0 && p.Start[component] == 0 && component > 0 {
		return math.Inf(1)
	}
	return -p.Result.LnC[component] / math.Ln10
}

// FindSpecies returns the place of one by formula or name among Species and, after them, Solids; -1
// where it is none.
func (p *Path) FindSpecies(name string) (int, error) {
	f, err := p.Tables.Formation(name)
	return slices.Index(p.Text, f.Species.String()), err
}

// Inputs holds a number for each thing that goes into a path: a derivative by it, or a change of it.
type Inputs struct {
	Start []float64 // 1/mol, or mol: of each component in the vessel
	Rate  []float64 // L/mol, or mol/L: of each component per litre poured
	LogK  []float64 // of log10 K of each of Species and, after them, of Solids
}

// NewInputs returns inputs that are all 0.
func (p *Path) NewInputs() Inputs {
	n := len(p.Start)
	return Inputs{make([]float64, n), make([]float64, n), make([]float64, len(p.Species)+len(p.Solids))}
}

// Shift changes what goes into the path by multiples of inputs, from the next point on.
func (p *Path) Shift(by float64, of Inputs) {
	floats.AddScaled(p.Start, by, of.Start)
	floats.AddScaled(p.Rate, by, of.Rate)
	n := len(p.Species)
	floats.AddScaled(p.Medium.LnK0, math.Ln10*by, of.LogK[:n])
	floats.AddScaled(p.Medium.LnKs0, -math.Ln10*by, of.LogK[n:]) // a product of solubility is turned the other way
}

// StandardLog10K returns log10 K° of one of Species or, after them, of Solids, from the components.
func (p *Path) StandardLog10K(species int) float64 {
	if k := species - len(p.Species); k >= 0 {
		return -p.Medium.LnKs0[k] / math.Ln10
	}
	return p.Medium.LnK0[species] / math.Ln10
}

// Composition returns how often each of the members goes into one of Species or, after them, of
// Solids.
func (p *Path) Composition(species int) []float64 {
	out := make([]float64, len(p.Members))
	for _, c := range p.Forms[species].Coefficients {
		out[p.Place(c.Component)] = c.N
	}
	return out
}

// Gradient writes the exact derivatives at the present point to out: of the pH for component 0, of
// −log10 of the free concentration for others.
func (p *Path) Gradient(component int, out *Inputs) error {
	if err := p.ready(); err != nil {
		return err
	}
	by, err := p.Run.Gradient(component)
	if err != nil {
		return err
	}
	out.Start, out.Rate, out.LogK = out.Start[:0], out.Rate[:0], out.LogK[:0]
	for _, g := range by.Total {
		out.Start = append(out.Start, g/p.Litres)
		out.Rate = append(out.Rate, g*p.poured/p.Litres)
	}
	for _, g := range by.LnK {
		out.LogK = append(out.LogK, g*math.Ln10)
	}
	for _, g := range by.LnKs {
		out.LogK = append(out.LogK, -g*math.Ln10)
	}
	return nil
}
