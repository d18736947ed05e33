// Package bath is the job: a bag of chelating salt, a tub of water, an acid to
// set the pH, and rusty steel.
//
//	plan, err := bath.Recipe{
//		Water: tap, Volume: 20 * litre, Temperature: chem.Celsius(20),
//		Chelant: tetrasodium, Amount: measure.AmountOfMass(0.5),
//		Acid: citric, PH: 7,
//	}.Plan(t)
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
package bath
