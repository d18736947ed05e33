package reading

import (
	"errors"
	"fmt"
)

// ErrInput is wrapped by every complaint about a setup or an event.
var ErrInput = errors.New("reading: bad input")

// InputError tells what was refused.
type InputError struct {
	Field string // field of the setup, or "event 3: amount"
	Value string // as it was given
	Want  string // what was expected
	Err   error  // the reason underneath, or nil
}

func (e *InputError) Error() string {
	text := fmt.Sprintf("%v: %s is %s: want %s", ErrInput, e.Field, e.Value, e.Want)
	if e.Err != nil {
		text += " (" + e.Err.Error() + ")"
	}
	return text
}

// Unwrap gives ErrInput and the reason underneath.
func (e *InputError) Unwrap() []error {
	if e.Err == nil {
		return []error{ErrInput}
	}
	return []error{ErrInput, e.Err}
}
