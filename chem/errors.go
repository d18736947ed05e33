package chem

import (
	"errors"
	"fmt"
	"math"
	"strconv"
)

// ErrInput is wrapped by every complaint about what a caller passed, in the whole
// library.
var ErrInput = errors.New("bad input")

// InputError tells what was refused: the one error of the library for bad input.
// It wraps [ErrInput].
type InputError struct {
	Field string // what was passed: an argument, a field, a column
	Value string // as it was passed, cut to a readable length
	Want  string // what was expected
	Err   error  // the reason underneath, or nil
	Kind  error  // what else to test for with errors.Is, or nil; not printed
}

// Error tells all of it on one line.
func (e *InputError) Error() string {
	text := fmt.Sprintf("%s is %s: want %s", e.Field, e.Value, e.Want)
	if e.Err != nil {
		text += " (" + e.Err.Error() + ")"
	}
	return text
}

// Unwrap gives ErrInput, the kind and the reason underneath.
func (e *InputError) Unwrap() []error {
	out := []error{ErrInput}
	for _, err := range []error{e.Kind, e.Err} {
		if err != nil {
			out = append(out, err)
		}
	}
	return out
}

// Within refuses a number outside [low, high], or that is none. The unit is that
// of all three and may be empty.
func Within(field string, x, low, high float64, unit string) error {
	if x >= low && x <= high && !math.IsInf(x, 0) {
		return nil
	}
	if unit != "" {
		unit = " " + unit
	}
	want := short(low, 4) + " to " + short(high, 4) + unit
	if math.IsInf(high, 1) {
		want = "a finite number from " + short(low, 4) + unit
	}
	return &InputError{Field: field, Value: short(x, 6) + unit, Want: want}
}

// short writes a number with so many digits, and without an exponent where a
// person would write none.
func short(x float64, digits int) string {
	text := strconv.FormatFloat(x, 'g', digits, 64)
	if size := math.Abs(x); size >= 1e-3 && size < 1e7 {
		x, _ = strconv.ParseFloat(text, 64)
		return strconv.FormatFloat(x, 'f', -1, 64)
	}
	return text
}

// Echo writes what a caller passed in quotes, cut to a readable length.
func Echo(text string) string {
	const most = 60 // characters
	n := 0
	for i := range text {
		if n++; n > most {
			return strconv.Quote(text[:i] + "…")
		}
	}
	return strconv.Quote(text)
}
