// Package chem is the vocabulary of the library: elements and their atomic weights, formulas,
// species, reactions that must balance, equilibrium constants that move with temperature and ionic
// strength, and the properties of water that make them move.
//
// # From a name to a number
//
// A formula is text with arithmetic behind it. Ligands are written by abbreviations that a
// [Notation] knows: this package names none, the tables do. A reaction conserves every
// element and the charge or is refused. Its [Constant] moves by the Debye–Hückel term, the
// same for all, times Δz², which follows from the charges, and by log10 K°, ΔH, ΔCp and Δε,
// which are fitted to published values: see [Fit].
//
// # Two kinds of pH
//
// Constants in tables are quotients of concentrations; a pH meter reads an activity. The two differ
// by the activity coefficient of the hydrogen ion, 0.11 pH at 0.1 mol/L: see [ActivityCoefficient].
package chem
