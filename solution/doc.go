// Package solution is a vessel: water first, then salts, acids and solids, then the question what
// is in it once it has come to rest.
//
//	t, _ := tables.Standard()
//	tub, _ := solution.New(t, chem.Celsius(20))
//	tub.AddWater(tap, 20*measure.Litre)
//	tub.Add(tetrasodiumEDTA, 400*measure.Gram)
//	state, _ := tub.Equilibrate()
//	state.PH                             // about 11
//	dose, _ := tub.Dose(citricAcid, solution.PH(7))
//	dose.MassGrams
//
// # What happens inside
//
// The vessel knows the moles of its components. For these the tables list every species that can
// form, each with a constant at the vessel's temperature; the solver of package equilibrium finds
// the concentrations at which all constants and all totals are met, together with the ionic
// strength, on which the constants depend. There is one such state and it is always found.
//
// # pH
//
// State.PH is what a meter reads, minus the decimal logarithm of the activity of the hydrogen ion;
// State.PConcH is that of its concentration. They differ by 0.11 at an ionic strength of 0.1 mol/L.
//
// # Solids and air
//
// Only solids that come down within days form by default; [Solution.Allow] and [Solution.Bar]
// change that. A vessel is closed until [Solution.Open] lets the carbon dioxide of the air in: the
// state is then that after days. On the way there carbonate fizzes and leaves, and
// [Solution.OpenDose] tells the dose for now from the one for good.
package solution
