package equilibrium

import (
	"errors"
	"fmt"
)

// Errors to test for with [errors.Is].
var (
	// ErrInput is wrapped by every complaint about a caller's numbers.
	ErrInput = errors.New("equilibrium: bad input")
	// ErrDuplicate marks rows or columns that repeat others.
	ErrDuplicate = errors.New("equilibrium: duplicate row or column")
	// ErrInfeasible marks totals that no amounts of species and solids can
	// add up to.
	ErrInfeasible = errors.New("equilibrium: totals cannot be met")
	// ErrUnbounded marks held concentrations that oversaturate a solid made of
	// held components only: it would precipitate without end.
	ErrUnbounded = errors.New("equilibrium: a solid of held components is oversaturated")
	// ErrConvergence marks a solve that ended short of its tolerance. The
	// problem is convex, so this is a defect of the package: please report it. One
	// such is known: two solids present at once, one of them at less than a
	// millionth of totals of opposite sign that cancel to nearly all digits.
	// Totals moved by a millionth are solved. No bath was seen to come near it.
	ErrConvergence = errors.New("equilibrium: no convergence")
)

// An InputError tells which number was refused.
type InputError struct {
	Field string  // name of the argument or field
	Index int     // position in it, -1 for the whole
	Value float64 // what was found
	Want  string  // what was expected
	Err   error   // more specific sentinel, or nil
}

func (e *InputError) Error() string {
	if e.Index < 0 {
		return fmt.Sprintf("equilibrium: %s: %g, want %s", e.Field, e.Value, e.Want)
	}
	return fmt.Sprintf("equilibrium: %s[%d]: %g, want %s", e.Field, e.Index, e.Value, e.Want)
}

// Unwrap gives ErrInput and, where there is one, the more specific sentinel.
func (e *InputError) Unwrap() []error {
	if e.Err == nil {
		return []error{ErrInput}
	}
	return []error{ErrInput, e.Err}
}

// A ComponentError names the component that a problem founders on.
type ComponentError struct {
	Component int     // index of the component (for ErrUnbounded, of the solid)
	Value     float64 // its total, mol/L (for ErrUnbounded, ln(Q/Ks))
	Err       error   // ErrInfeasible, ErrUnbounded or ErrConvergence
}

func (e *ComponentError) Error() string {
	what := "component"
	if e.Err == ErrUnbounded {
		what = "solid"
	}
	return fmt.Sprintf("%v: %s %d (%g)", e.Err, what, e.Component, e.Value)
}

// Unwrap returns the sentinel.
func (e *ComponentError) Unwrap() error { return e.Err }
