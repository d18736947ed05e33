// Package measure turns shop measures into SI and back: "2 tbsp" of powder, a
// "5 gal" tub, "70 °F" tap water.
//
// US customary measures are exact: a gallon is 231 cubic inches; a quart is a quarter of
// it, a cup a quarter of that, a fluid ounce an eighth of a cup, a tablespoon half a fluid
// ounce and a teaspoon a third of a tablespoon, 4.92892159375 mL. The avoirdupois pound is
// 0.45359237 kg and its sixteenth the ounce (NIST Handbook 44, Appendix C). Metric kitchens
// round: "metric tsp" is 5 mL, "metric tbsp" 15 mL, "metric cup" 250 mL. The "imperial gal",
// 4.54609 L, is a fifth larger than the American one.
//
// # Mass or volume
//
// An ounce weighs and a fluid ounce fills: "oz" is a mass, "fl oz" a volume, and a spoon is
// a volume too. What it weighs depends on how the powder lies: poured loosely it holds more
// air than shaken down. A [BulkDensity] carries both ends, and [Amount.Weigh] answers with a
// [MassRange]. Spoons are level, struck off with a straight edge. A heaped one holds half as
// much again, or twice as much (common practice, no source), and is refused.
//
// # Reading and writing
//
// The parsers read numbers as a shop writes them: 2, 2.5, 3/4, 1 1/2, 1-1/2, ½, 1½. Parts of
// one quantity add up: "1 lb 4 oz". A number without a unit is refused, and so is a unit that
// two people read differently (T, gr, ton).
//
// The Format functions write two significant digits, or three when the first is a 1, which
// is within 2.5 %: a bath is not an analysis. [Spoons] names spoons that are in the drawer.
package measure
