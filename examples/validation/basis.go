package main

// basis is how independent a published value is of what the library rests on.
type basis string

const (
	// independent: a measurement, or an evaluation of others, that no constant
	// here was fitted to. Which ion pairs the activity term holds already, and
	// are left out for that, was judged by the pH standards.
	independent basis = "independent"
	// held: the tables are fitted to the value, hold it, or go back to the same
	// measurements. It tests that they were read and fitted rightly, and how far
	// evaluations of one thing lie apart.
	held basis = "tables"
	// solver: a textbook works it out from constants that it prints, and so does
	// the library from the same. It tests the solver.
	solver basis = "solver"
	// definition: units, molar masses, stoichiometry.
	definition basis = "definition"
)

var bases = []basis{independent, held, solver, definition}

// trust is how far to trust the row itself.
type trust string

const (
	seen       trust = "seen"        // the figure stood in a paper, abstract, reprint or table that was read
	fromMemory trust = "from memory" // it did not, in whole or part
	arithmetic trust = "arithmetic"  // it follows from numbers in the row
	practice   trust = "practice"    // a fact of the trade without a source
)

var trusts = []trust{seen, fromMemory, arithmetic, practice}
