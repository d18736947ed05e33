package compiled

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"example.com/chelation/chem"
	"example.com/chelation/chem/equilibrium"
)

// Run is a walk of solves: the conditions, the answer and the solver's workspace. It belongs to one
// goroutine at a time.
type Run struct {
	*Problem
	Medium     equilibrium.Medium // that of the problem; replace its slices, do not write to them
	Conditions equilibrium.Conditions
	Result     equilibrium.Result

	workspace *equilibrium.Workspace
	warm      bool               // Result holds an answer to start from
	change    equilibrium.Change // working room of the derivatives
	gradient  equilibrium.Change
	response  equilibrium.Response
	weight    equilibrium.Response
}

func (p *Problem) newRun() *Run {
	n := len(p.Members)
	r := &Run{Problem: p, workspace: p.system.NewWorkspace()}
	r.Conditions = equilibrium.Conditions{Total: make([]float64, n), Held: make([]bool, n), LnHeld: make([]float64, n), Medium: &r.Medium}
	r.change.Total, r.weight.LnC = make([]float64, n), make([]float64, n)
	return r
}

// Borrow returns a run that nobody else has, with nothing held but by the air, to be given back
// with [Run.Return].
func (p *Problem) Borrow() *Run {
	r := p.runs.Get().(*Run)
	r.workspace.Forget()
	r.Medium, r.warm = p.Medium, false
	clear(r.Conditions.Held)
	if c := p.Carbonate; c >= 0 {
		r.Conditions.Held[c], r.Conditions.LnHeld[c] = true, p.lnCO2
	}
	return r
}

// Return gives a run back to the pool.
func (r *Run) Return() { r.runs.Put(r) }

// Answer is what a later run of the same problem may start from. It does not change.
type Answer struct {
	problem    *Problem
	lnC, solid []float64
	ionic      float64
}

// Answer keeps the answer of the run.
func (r *Run) Answer() *Answer {
	all := slices.Concat(r.Result.LnC, r.Result.Solid)
	n := len(r.Result.LnC)
	return &Answer{r.Problem, all[:n], all[n:], r.Result.Ionic}
}

// From lets the next solve start from an answer, if it is one to the same problem or to one of
// other constants alone.
func (r *Run) From(a *Answer) {
	if a == nil || a.problem != r.Problem && !(a.problem.Carbonate == r.Carbonate && slices.Equal(a.problem.Text, r.Text) && slices.Equal(a.problem.Members, r.Members)) {
		return
	}
	r.Result.LnC, r.Result.Solid = append(r.Result.LnC[:0], a.lnC...), append(r.Result.Solid[:0], a.solid...)
	r.Result.Ionic, r.warm = a.ionic, true
}

// Hold keeps member i at a natural logarithm of its activity.
func (r *Run) Hold(i int, lnActivity float64) {
	r.Conditions.Held[i], r.Conditions.LnHeld[i] = true, lnActivity
}

// Fill sets the totals for moles of the tables' components in a volume of litres.
func (r *Run) Fill(amounts []float64, litres float64) { r.Totals(r.Conditions.Total, amounts, litres) }

// Totals writes what moles of the tables' components in a volume of litres make in totals, mol/L.
func (p *Problem) Totals(out, amounts []float64, litres float64) {
	for i, c := range p.Members {
		out[i] = amounts[c] / litres
	}
	if c := p.Carbonate; c >= 0 {
		out[0] -= 2 * out[c]
	}
}

// Solve brings the run to equilibrium, from the last answer if there is one. An error names what
// cannot be had.
func (r *Run) Solve() error {
	if r.warm {
		if err := r.workspace.SolveFrom(&r.Conditions, &r.Result); err == nil {
			return nil
		}
	}
	err := r.workspace.Solve(&r.Conditions, &r.Result)
	r.warm = err == nil
	return r.explain(err)
}

// explain puts names into an error of the solver.
func (r *Run) explain(err error) error {
	var c *equilibrium.ComponentError
	switch {
	case !errors.As(err, &c) || errors.Is(err, equilibrium.ErrConvergence):
		return err
	case errors.Is(err, equilibrium.ErrIonicStrength):
		return &chem.InputError{Field: "vessel", Value: fmt.Sprintf("one of an ionic strength above %.2g mol/L", c.Value), Want: "what water can hold", Kind: err}
	case errors.Is(err, equilibrium.ErrCrowded):
		return &chem.InputError{Field: "vessel", Value: fmt.Sprintf("one with %.4g mol/L of %s", c.Value, r.Species[c.Component].Species), Want: "what water can hold", Kind: err}
	case errors.Is(err, equilibrium.ErrUnbounded):
		return &chem.InputError{Field: "what is held in the vessel", Value: "more than saturated with " + r.Names[c.Component], Want: "concentrations that let no solid form without end", Kind: err}
	default:
		return &chem.InputError{Field: "total of " + r.Stock.Text[r.Members[c.Component]], Value: fmt.Sprintf("%.4g mol/L", c.Value), Want: "one that its species can add up to", Kind: err}
	}
}

// PConcH returns −log10 [H⁺].
func (r *Run) PConcH() float64 { return -r.Result.LnC[0] / math.Ln10 }

// PH returns the pH as a meter reads it.
func (r *Run) PH() float64 { return r.PConcH() + r.Medium.D(r.Result.Ionic) }

// Total returns what there is of a member, mol/L, solids included: for one whose concentration is
// held, what that takes.
func (r *Run) Total(i int) float64 {
	t := r.Result.Total[i]
	if i == 0 && r.Carbonate >= 0 {
		t += 2 * r.Result.Total[r.Carbonate]
	}
	return t
}

// DissolvedOf returns the concentration in mol/L of a component of the tables in all its dissolved
// forms.
func (r *Run) DissolvedOf(component int) float64 {
	i := r.Place(component)
	if i < 0 {
		return 0
	}
	sum := r.Total(i)
	for k, n := range r.Result.Solid {
		for _, m := range r.Made[len(r.Species)+k] {
			if m.Component == component {
				sum -= m.N * n
			}
		}
	}
	return max(0, sum)
}
