package main

// basis is how independent a published value is of what the library rests on.
type basis string

const (
	// independent: a measurement, or an evaluation of others, that no constant
	// here was fitted to. Which ion pairs the activity term holds already, and
	// are left out for that, was judged by the pH standards.
	independent basis = "independent"
	// evaluated: a constant, or what follows from constants or a theory, by another
	// evaluation or laboratory than those that the tables are fitted to, though both
	// may go back to the same measurements. It tests how far evaluations of one
	// thing lie apart.
	evaluated basis = "evaluated"
	// held: the tables are fitted to the value or, where it is no constant, hold it;
	// or it is of the series of measurements that they are fitted to. It tests that
	// they were read and fitted rightly.
	held basis = "tables"
	// solver: a textbook works it out from constants that it prints, and so does
	// the library from the same. It tests the solver.
	solver basis = "solver"
	// definition: units, molar masses, stoichiometry.
	definition basis = "definition"
)

var bases = []basis{independent, evaluated, held, solver, definition}

// trust is how the figure was had.
type trust string

const (
	printed    trust = "printed"     // it was seen in the work that is cited, at the place that is given
	recomputed trust = "recomputed"  // it follows from an equation or from constants that were seen
	compiled   trust = "compiled"    // it was seen in another work that quotes or compiles it
	fromMemory trust = "from memory" // it was not seen, in whole or part
	arithmetic trust = "arithmetic"  // it follows from numbers in the row
	practice   trust = "practice"    // a fact of the trade without a source
)

var trusts = []trust{printed, recomputed, compiled, fromMemory, arithmetic, practice}
