package bath

import (
	"errors"
	"fmt"
	"math"
)

// ErrInput is wrapped by every complaint about an argument. Complaints about a
// recipe wrap [ErrRecipe].
var ErrInput = errors.New("bath: bad input")

// InputError tells which argument was refused.
type InputError struct {
	Field string // name of the argument
	Value string // as it was passed
	Want  string // what was expected
	Err   error  // the reason underneath, or nil
}

// Error tells all of it on one line.
func (e *InputError) Error() string {
	text := fmt.Sprintf("%v: %s is %s: want %s", ErrInput, e.Field, e.Value, e.Want)
	if e.Err != nil {
		text += " (" + e.Err.Error() + ")"
	}
	return text
}

// Unwrap gives ErrInput and the reason underneath.
func (e *InputError) Unwrap() []error { return []error{ErrInput, e.Err} }

// within refuses a number outside [low, high], or that is none.
func within(field string, x, low, high float64, unit string) error {
	if x >= low && x <= high {
		return nil
	}
	if unit != "" {
		unit = " " + unit
	}
	if math.IsInf(high, 1) {
		return &InputError{Field: field, Value: fmt.Sprintf("%g%s", x, unit), Want: fmt.Sprintf("a finite number from %g", low)}
	}
	return &InputError{Field: field, Value: fmt.Sprintf("%g%s", x, unit), Want: fmt.Sprintf("a number from %g to %g", low, high)}
}
