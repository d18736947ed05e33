// Package bath is a tub in use: what it holds, what it can still take, what becomes
// of it, and what is wrong with it.
//
//	tub, err := bath.New(t, vessel) // or recipe.Recipe.Mix
//	d, err := tub.Diagnose(lepidocrocite, 7, citric)
//
// # Three ways to stop
//
// A bath stops cleaning for one of three reasons that look alike in the shop:
//
//   - The chelant is used up. Each molecule holds one iron; none is left. A new
//     bath is due.
//   - The pH has drifted. Dissolving rust takes up hydrogen ions,
//     FeOOH + Hedta³⁻ + 2 H⁺ = Fe(edta)⁻ + 2 H2O, so the bath climbs as it
//     works until the oxide is as stable as the chelate. Half the chelant may
//     still be free. Acid brings the bath back.
//   - Equilibrium never allowed this oxide at this pH. At pH 11 hydroxide holds
//     iron more firmly in goethite than EDTA does in solution, and waiting does
//     not help. The bath has to be made more acid to begin with.
//
// [Bath.Diagnose] tells which it is, [Bath.Capacities] the numbers behind it, [Bath.Limit] the
// limit against pH, [Bath.Drift] the climb, and [Bath.Upkeep] the acid that stops it.
//
// The library's demo bath, 500 g of tetrasodium EDTA in 20 litres at pH 7, could
// bind 96 g of lepidocrocite by its chelant; left alone it takes 70 g and stands
// at pH 10.2. Never adjusted, at pH 11, it takes 5 g.
//
// # The tub
//
// A tub stands lidded, under a board, still, stirred or bubbled: [Bath.Stand] takes the word.
// [Bath.Course] follows it through hours in which gas, air, light, rust and steel are at work,
// [Bath.OpenDose] tells what soda does in it, and [Bath.Learn] how fast one's own tub breathes.
//
// Iron(III) held by the chelant eats bare steel, and air turns the iron(II) that comes of it
// back: [Bath.Redox] keeps the books. With 30 g of rust in it and 0.2 m² of clean tools the demo bath
// has three quarters of its chelant taken after 6 days still, and in no month under a lid.
package bath
