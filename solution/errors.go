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
	return fmt.Sprintf("%v: %s starts at %.3g, and %s brings it no further than %.3g; want %.4g",
		ErrUnreachable, e.Target.Name(), e.Start, e.Reagent, e.Limit, e.Target.Value)
}

// Unwrap makes errors.Is(err, ErrUnreachable) true.
func (e *UnreachableError) Unwrap() error { return ErrUnreachable }
