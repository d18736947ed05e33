package solution

import (
	"errors"
	"fmt"
)

// ErrUnreachable marks a target that no amount of the reagent reaches.
var ErrUnreachable = errors.New("target out of reach")

// UnreachableError tells how far a reagent can take the vessel.
type UnreachableError struct {
	Reagent   string  // name of the reagent
	Target    Target  // what was asked for
	Start     float64 // the quantity before anything is added
	Limit     float64 // the quantity at Amount, the most that was tried
	MassGrams float64 // g of reagent at the limit
}

func (e *UnreachableError) Error() string {
	return fmt.Sprintf("%v: %s starts at %.4g, and %s takes it to %.4g at most (%.4g g); want %.4g",
		ErrUnreachable, e.Target.Name(), e.Start, e.Reagent, e.Limit, e.MassGrams, e.Target.Value)
}

// Unwrap makes errors.Is(err, ErrUnreachable) true.
func (e *UnreachableError) Unwrap() error { return ErrUnreachable }
