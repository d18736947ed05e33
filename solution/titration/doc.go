// Package titration predicts titrations, and reads the answer out of real ones.
//
// A titration pours one vessel into another and watches one ion. So it is made of
// two vessels of package solution and the ion that is followed:
//
//	sample, _ := solution.New(t, chem.Celsius(25))
//	sample.AddPureWater(50 * measure.Millilitre)
//	sample.AddSpecies("Hac", 0.005)                    // 0.1 mol/L acetic acid
//	lye, _ := solution.New(t, chem.Celsius(25))
//	lye.AddPureWater(1 * measure.Litre)
//	lye.AddSpecies("Na+", 0.1); lye.AddSpecies("OH-", 0.1)
//	run, _ := titration.New(sample, lye, "H+")
//
// Whatever the tables hold can be titrated with whatever they hold: acids and
// bases; metals with a chelant, directly, back, by displacement or with another
// metal masked, which are all matters of what is in the two vessels; ions that
// come down as solids.
//
// # The curve
//
// [Titration.Points] walks along the burette and yields a [Point] at a time;
// [Titration.Curve] keeps them. A [Grid] says where and what: evenly, and closer
// where the curve is steep. Each point is an equilibrium with all species, found
// from the one before. Slope and bend, the first and second derivative, are exact:
// they come from the equations of the equilibrium and not from differences.
//
// # Where it ends
//
// Three volumes are called the end of a titration, and they are not the same.
//
//   - At the equivalence point the burette has given what the sample can take: a
//     balance of amounts, [Titration.Equivalence], which knows no constants.
//   - At the inflection the curve is steepest: [Titration.Inflections]. It is
//     what a meter finds, and dilution and lopsided stoichiometry pull it away from
//     equivalence, mostly by less than a thousandth.
//   - At the endpoint an indicator turns: [Titration.Endpoints]. How far that is
//     from equivalence is the systematic titration error, and [Titration.Judge]
//     ranks the indicators of the tables by it.
//
// A dye is taken as a trace: it shows pH and metals, and uses up none.
//
// Whether a metal can be titrated at all is decided by its conditional constant,
// which falls with the protons on the chelant and the hydroxide on the metal: see
// [solution.Pair]. A tenth of a per cent at 0.01 mol/L takes log K′ of 8, as
// [NeededLogK] has it, and [solution.Pair.Window] tells from which pH to which the
// metal has that.
//
// # From readings to an answer
//
// [Titre] turns a count of drops or a burette reading into a concentration with
// the uncertainty of every step (JCGM 100:2008, the GUM), and names the step that
// matters most. [FreeChelant] does so for a used bath: what its chelant can still
// bind. [Titre.Schemes] goes the other way, from a wanted uncertainty to aliquot,
// titrant and burette. [Gran] finds the equivalence point from a straight line.
// [Titration.Fit] recovers concentrations and any constant of the model, the
// caller's own included, from measured pH or pM by least squares on exact
// derivatives.
//
// # Volumes
//
// Volumes are poured as they are: what a titrant holds is per litre of it at the
// sample's temperature, and volumes add up. In results they are in mL, the unit
// on the burette.
package titration
