package solution

import (
	"errors"
	"fmt"
)

// Target is a value that a dose should bring about: −log10 of the activity of the hydrogen ion
// (pH), or of the concentration of another free component in mol/L (pM).
type Target struct {
	Component string  `json:"component"` // formula or name
	Value     float64 `json:"value"`     // −log10
}

// PH is the target of a pH as a meter reads it.
func PH(value float64) Target { return Target{"H+", value} }

// PM is the target of a free component.
func PM(component string, value float64) Target { return Target{component, value} }

// Name returns pH, or p and the component.
func (t Target) Name() string {
	if t.Component == "H+" {
		return "pH"
	}
	return fmt.Sprintf("p[%s]", t.Component)
}

// ErrUnreachable marks a target that no amount of the reagent reaches.
var ErrUnreachable = errors.New("target out of reach")

// UnreachableError tells how far a reagent can take the vessel.
type UnreachableError struct {
	Reagent   string  `json:"reagent"` // name of the reagent
	Target    Target  `json:"target"`  // what was asked for
	Start     float64 `json:"start"`   // the quantity before anything is added; 40 where there is none of it
	Limit     float64 `json:"limit"`   // the quantity at the most that was tried
	MassGrams float64 `json:"mass_g"`  // of the reagent at the limit
}

func (e *UnreachableError) Error() string {
	how := "no further than"
	if (e.Limit-e.Start)*(e.Target.Value-e.Start) < 0 {
		how = "the other way, to"
	}
	return fmt.Sprintf("%v: %s starts at %.3g, and %s brings it %s %.3g; want %.4g",
		ErrUnreachable, e.Target.Name(), e.Start, e.Reagent, how, e.Limit, e.Target.Value)
}

// Unwrap makes errors.Is(err, ErrUnreachable) true.
func (e *UnreachableError) Unwrap() error { return ErrUnreachable }
