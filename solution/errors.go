package solution

import (
	"errors"
	"fmt"
)

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
	return fmt.Sprintf("%v: %s starts at %.4g, and %s takes it to %.4g at most (%.4g g); want %.4g",
		ErrUnreachable, e.Target.Name(), e.Start, e.Reagent, e.Limit, e.MassGrams, e.Target.Value)
}

// Unwrap makes errors.Is(err, ErrUnreachable) true.
func (e *UnreachableError) Unwrap() error { return ErrUnreachable }
