// Package bath is the job: a bag of chelating salt, a tub of water, an acid to
// set the pH, and rusty steel.
//
//	recipe := bath.Recipe{
//		Water: tap, Volume: 0.020, Temperature: chem.Celsius(20), // m³
//		Chelant: tetrasodium, Amount: measure.AmountOfMass(0.5),  // kg
//		Acid: citric, PH: 7,
//	}
//	plan, err := recipe.Plan(t) // what to weigh, and how to add the acid
//	tub, err := recipe.Mix(t)   // the bath itself, to ask what comes later
//
// The plan says what to weigh, what pH to expect before the acid, how much acid
// to add and in which portions, what hard water costs, how much iron the bath
// can bind, and what to be careful about.
//
// # Ranges
//
// A bag holds what its label says within limits, a spoon within wider ones, and
// tap water changes. The plan repeats the whole computation with each of these
// at its low and its high end, and adds up the differences as independent: the
// ranges hold about nine cases in ten.
//
// # The steep stretch
//
// Tetrasodium EDTA takes up one proton per molecule between pH 11 and pH 8 and
// the next between pH 7.5 and pH 5. In between almost nothing in the bath holds
// the pH, and a few grams move it by two units. The plan therefore pours most of
// the acid at once, and the rest in portions that move the pH by half a unit.
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
// [Bath.Diagnose] tells which it is. [Bath.Capacities] gives the numbers behind
// it, [Bath.Window] the limit of each oxide against pH, [Bath.Drift] the climb,
// [Bath.Upkeep] the acid that stops it, and [Recipe.Starts] what another
// starting pH would do.
//
// The library's demo bath, 500 g of tetrasodium EDTA in 20 litres at pH 7, could
// bind 96 g of lepidocrocite by its chelant; left alone it takes 54 g and stands
// at pH 10.2. Never adjusted, it takes less than a gram.
//
// # Bare steel
//
// Iron(III) held by the chelant eats steel, 2 Fe(III) + Fe = 3 Fe(II), and air
// turns iron(II) back. [Bath.Redox] keeps the books and says how much at most;
// [Bath.Metals] asks the same of zinc, copper and the rest.
//
// # The shop
//
// [Tub] and [Part] tell how much bath covers a part, [Recipe.Scale] carries a
// tried litre over to a tub, [Recipe.TopUp] brings it back to strength,
// [LayerOfYears] and [LayerOfThickness] tell how much rust there is, and
// [Recipe.Compare] and [CompareBags] what all of it costs. Package journal keeps
// the life of a bath in a file.
//
// # How long
//
// [Pace] tells, as a range. Rust dissolves at its surface, where chelant sits and
// leaves with an iron; a few mmol/L of free chelant fill that surface, so a bath
// half as strong again is not visibly faster. Warmth, a lower pH, a brush and fresh
// rather than old rust make it faster, and a still film of liquid caps it.
//
//	pace, err := bath.NewPace(t)
//	time, err := pace.Time(tub, bath.Dip{Rust: fresh, Layer: layer, Area: 0.5, Oxide: lepidocrocite})
//	time.Text // "About 15 hours; nine in ten such parts take between 5 hours and 2 days. ..."
//
// No paper fixes the rate of real rust near pH 7 and 20 °C, and so the range spans
// ten times and more until parts are seen to come clean: [Pace.Seen] learns from
// them. [Pace.Levers] weighs what would shorten the wait.
//
// # What this package does not know
//
// How fast a metal goes: that it can dissolve is a statement about equilibrium, and
// its film may keep it whole. Nor how fast bare steel goes in a neutral bath, for
// which it takes an assumption that a weighed coupon betters.
package bath
