// Package titration predicts titrations, and reads the answer out of real ones.
//
// A titration pours one vessel of package solution into another and watches one
// ion: [New]. Whatever the tables hold can be titrated with whatever they hold:
// acids and bases; metals with a chelant, directly, back, by displacement or with
// another masked; ions that come down as solids. Each [Point] of a curve is an
// equilibrium with all species, and its slope and bend come from its equations.
//
// Three volumes are called the end of a titration, and they are not the same.
//
//   - At the equivalence point the burette has given what the sample can take: a
//     balance of amounts, [Titration.Equivalence], which knows no constants.
//   - At the inflection the curve is steepest: [Titration.Inflections]. A meter
//     finds it; dilution and lopsided stoichiometry pull it away from equivalence,
//     mostly by less than a thousandth.
//   - At the endpoint an indicator, a trace that uses up nothing, turns:
//     [Titration.Endpoints]. How far that is from equivalence is the systematic
//     titration error, by which [Titration.Judge] ranks indicators.
//
// Whether a metal can be titrated at all is decided by its conditional constant:
// [solution.Pair] and [NeededLogK].
//
// The other way round, [Titre] and [KitTest] turn readings and drops into concentrations with the
// uncertainty of every step (JCGM 100:2008, the GUM), [Titre.Schemes] chooses aliquot, titrant and
// burette for a wanted uncertainty, [Gran] finds equivalence from a straight line, and
// [Titration.Fit] finds concentrations and any constant of the model from measured pH or pM.
//
// What a titrant holds is per litre of it at the sample's temperature, and volumes
// add up. Results have them in mL, the unit on the burette.
package titration
