package reading

import (
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/tables"
)

// Event is something done to a bath or seen of it, one of [Added], [Read],
// [Buffer], [Spoon] and [Clarity], in the order of time.
type Event interface {
	// compile turns the event into what the particles follow.
	compile(m *Model, c *course) (step, error)
}

// Added is something stirred in and dissolved.
type Added struct {
	// Reagent is what was added; the zero value is more from the bag.
	Reagent tables.Reagent
	Amount  measure.Amount
}

// Read is a pH that a strip or a meter showed once all had dissolved.
type Read struct {
	Strip tables.Strip // what it was read with
	Value float64      // one of its marks, or between two of them
}

// Buffer is what a strip or a meter showed in a buffer of known pH, 1 to 13: it tells what
// the instrument is off by, in the bath as well.
type Buffer struct {
	Read
	PH float64 // of the buffer
}

// Spoon is what a level measure from the bag weighs on a scale, on the average
// if several were weighed.
type Spoon struct {
	Volume unit.Volume // level
	Mass   unit.Mass   // of what it held
}

// Clarity tells whether the bag had dissolved, before any acid or base, after half an hour of
// stirring. EDTA acid leaves a milky sediment where its salts dissolve.
type Clarity bool
