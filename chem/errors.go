package chem

import (
	"errors"
	"fmt"
)

// ErrFormula is wrapped by every error that ParseFormula and ParseSpecies
// return. Use errors.As with *FormulaError for the place and the reason.
var ErrFormula = errors.New("invalid chemical formula")

// A FormulaError says what is wrong with a written formula or species, and where.
type FormulaError struct {
	Input  string // the text as given
	Offset int    // byte offset into Input at which the trouble starts
	Reason string // what was found and what was expected
}

// Error returns the input, the place and the reason on one line.
func (e *FormulaError) Error() string {
	return fmt.Sprintf("formula %q: byte %d: %s", e.Input, e.Offset, e.Reason)
}

// Unwrap returns ErrFormula.
func (e *FormulaError) Unwrap() error { return ErrFormula }
