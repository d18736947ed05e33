package chem

import (
	"errors"
	"math"
	"slices"
	"strconv"
	"strings"
)

// ErrInput is wrapped by every complaint of the library about what a caller passed.
var ErrInput = errors.New("bad input")

// InputError tells what was refused. It wraps [ErrInput].
type InputError struct {
	Field string // what was passed: an argument, a field, a column
	Value string // as it was passed, cut to a readable length
	Want  string // what was expected
	Err   error  // the reason underneath, or nil
	Kind  error  // what else to test for with errors.Is, or nil; not printed
}

// Error tells all of it in one sentence: of a chain the field and value of the outermost, that
// the caller knows, and what the innermost wanted.
func (e *InputError) Error() string {
	told := *e
	for inner, ok := e.Err.(*InputError); ok; inner, ok = inner.Err.(*InputError) {
		told.Want, told.Err = inner.Want, inner.Err
		if !strings.Contains(e.Value, inner.Value) {
			told.Want += " where " + inner.Field + " is " + inner.Value
		}
	}
	text := told.Field + " is " + told.Value + ": want " + told.Want
	if told.Err != nil {
		text += " (" + told.Err.Error() + ")"
	}
	return text
}

// Unwrap gives ErrInput, the kind and the reason underneath.
func (e *InputError) Unwrap() []error {
	return slices.DeleteFunc([]error{ErrInput, e.Kind, e.Err}, func(err error) bool { return err == nil })
}

// Within refuses a number outside [low, high], or that is none, all in one unit, which may
// be empty. Where the library gives no other reason for the ends, they are judgement: more
// and less than a shop has, so that beyond them lies a slip.
func Within(field string, x, low, high float64, unit string) error {
	if x >= low && x <= high && !math.IsInf(x, 0) {
		return nil
	}
	if unit != "" {
		unit = " " + unit
	}
	const ends, passed = 4, 6 // digits: enough to see which side of an end a number is on
	want := short(low, ends) + " to " + short(high, ends) + unit
	if math.IsInf(high, 1) {
		want = "a finite number from " + short(low, ends) + unit
	}
	return &InputError{Field: field, Value: short(x, passed) + unit, Want: want}
}

// short writes a number with so many digits, without an exponent where a person writes none.
func short(x float64, digits int) string {
	text := strconv.FormatFloat(x, 'g', digits, 64)
	const leastPlain, mostPlain = 1e-3, 1e7 // beyond them zeros have to be counted
	if size := math.Abs(x); size >= leastPlain && size < mostPlain {
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
