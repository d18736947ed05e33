package compiled

import (
	"iter"
	"math"

	"example.com/chelation/chem/equilibrium"
	"example.com/chelation/tables"
)

// Respond differentiates the answer along a change of the conditions.
func (r *Run) Respond(change *equilibrium.Change, out *equilibrium.Response) error {
	return r.workspace.Respond(change, out)
}

// Drift is the derivative of an answer along a direction in its totals. It is overwritten by the
// next.
type Drift struct {
	*equilibrium.Response
	PH float64
}

// Drift differentiates the answer along rates of the totals, which it calls fill to write.
func (r *Run) Drift(fill func(rate []float64)) (Drift, error) {
	clear(r.change.Total)
	fill(r.change.Total)
	if err := r.workspace.Respond(&equilibrium.Change{Total: r.change.Total}, &r.response); err != nil {
		return Drift{}, err
	}
	slope, _ := r.Medium.Slopes(r.Result.Ionic)
	return Drift{&r.response, -r.response.LnC[0]/math.Ln10 + slope*r.response.Ionic}, nil
}

// Gradient returns the derivatives by every number of the conditions of −log10 of what member i
// has: an activity if it is H⁺, a concentration otherwise. They are overwritten by the next.
func (r *Run) Gradient(i int) (*equilibrium.Change, error) {
	clear(r.weight.LnC)
	clear(r.weight.Solid)
	r.weight.LnC[i], r.weight.Ionic = -1/math.Ln10, 0
	if i == 0 { // the activity of H⁺ moves with the ionic strength too
		r.weight.Ionic, _ = r.Medium.Slopes(r.Result.Ionic)
	}
	return &r.gradient, r.workspace.Gradient(&r.weight, &r.gradient)
}

// SolidGradient returns those of what the solids hold, each counting with a weight, in mol/L.
func (r *Run) SolidGradient(weight []float64) (*equilibrium.Change, error) {
	clear(r.weight.LnC)
	r.weight.Solid, r.weight.Ionic = append(r.weight.Solid[:0], weight...), 0
	return &r.gradient, r.workspace.Gradient(&r.weight, &r.gradient)
}

// Slopes goes over the reactions that the problem's constants rest on, in the order of the tables,
// with the derivative along a gradient of the answer by log10 K of each, taken once however many
// species rest on it.
func (r *Run) Slopes(gradient *equilibrium.Change) iter.Seq2[*Fitted, float64] {
	fitted := r.fitted()
	var slopes []float64 // by equilibrium
	if n := len(fitted); n > 0 {
		slopes = make([]float64, fitted[n-1].Index+1)
	}
	add := func(steps []tables.Step, by float64) {
		for _, step := range steps {
			slopes[step.Equilibrium] += math.Ln10 * by * step.N
		}
	}
	for j, f := range r.Species {
		add(f.Steps, gradient.LnK[j])
	}
	for k, f := range r.Solids {
		add(f.Steps, -gradient.LnKs[k])
	}
	if r.Carbonate >= 0 {
		add(r.Air, gradient.LnHeld[r.Carbonate])
	}
	return func(yield func(*Fitted, float64) bool) {
		for i := range fitted {
			if f := &fitted[i]; !yield(f, slopes[f.Index]) {
				return
			}
		}
	}
}
