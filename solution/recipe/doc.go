// Package recipe is what the shop weighs: a bag of chelating salt, a tub of water,
// an acid to set the pH. [Recipe.Plan] tells what to weigh and how to add the acid,
// [Recipe.Mix] returns the bath itself, to ask what comes later.
//
// # Ranges
//
// A bag holds what its label says within limits, a spoon within wider ones, and
// tap water changes. The plan's ranges hold about nine cases in ten of that.
//
// # The steep stretch
//
// Tetrasodium EDTA takes up one proton per molecule between pH 11 and pH 8 and the next
// between pH 7.5 and pH 5. In between a few grams move the pH by two units. The plan therefore
// pours most of the acid at once, and the rest in portions that move it by half a unit.
//
// # The shop
//
// [Tub] and [Part] tell how much bath covers a part, [Recipe.Scale] carries a
// tried litre over to a tub, [Recipe.TopUp] brings it back to strength, and
// [Recipe.Try] and [CompareBags] tell what other ways would cost.
package recipe
