package measure

import (
	"errors"
	"fmt"
)

// ErrMeasure is wrapped by every error of this package. Use errors.As with
// *ParseError for the place and the reason in a text that did not parse.
var ErrMeasure = errors.New("bad measure")

// A ParseError says what is wrong with a written measure.
type ParseError struct {
	Quantity string // what was asked for: "mass", "volume", "mass or volume" …
	Input    string // the text as given
	Offset   int    // byte offset into Input
	Reason   string // what was found, what was expected
}

// Error returns quantity, input and reason on one line.
func (e *ParseError) Error() string {
	return fmt.Sprintf("%s %q: %s", e.Quantity, e.Input, e.Reason)
}

// Unwrap returns ErrMeasure.
func (e *ParseError) Unwrap() error { return ErrMeasure }
