package measure

import (
	"fmt"
	"slices"
	"strings"
)

// The exact factors. Customary measures hang on two definitions, the inch of
// 25.4 mm and the avoirdupois pound of 0.45359237 kg, and on whole numbers: a
// US gallon is 231 cubic inches (NIST Handbook 44, Appendix C). Go keeps
// constants exact, so each factor below is rounded once, to a float64.
const (
	inch = 0.0254 // m
	foot = 12 * inch
	yard = 3 * foot

	gallon     = 231 * inch * inch * inch // m³
	quart      = gallon / 4
	pint       = quart / 2
	cup        = pint / 2
	fluidOunce = gallon / 128
	tablespoon = fluidOunce / 2
	teaspoon   = tablespoon / 3
	dash       = teaspoon / 8

	imperialGallon = 4.54609e-3 // m³, UK Weights and Measures Act 1985

	pound = 0.45359237 // kg
	ounce = pound / 16
	grain = pound / 7000

	litre      = 1e-3 // m³
	millilitre = 1e-6
)

// A kind is a physical quantity that has units here.
type kind uint8

const (
	mass kind = iota
	volume
	temperature
	length
	area
	duration
)

var kindNames = [...]string{"mass", "volume", "temperature", "length", "area", "time"}

// understood lists the usual units of each kind for messages.
var understood = [...]string{
	"mg, g, kg, grain, oz, lb",
	"tsp, tbsp, fl oz, cup, pt, qt, gal, mL, L",
	"°C, °F, K",
	"µm, mm, cm, m, mil, in, ft",
	"cm², m², in², ft²",
	"s, min, h, d, week",
}

func (k kind) String() string { return kindNames[k] }

// A scale is a unit: a reading x is (x + offset)·factor in SI.
type scale struct {
	kind   kind
	factor float64
	offset float64  // temperature only
	marks  []string // symbols in which capitals matter
	words  []string // lower case; capitals do not matter
}

// us gives the names of a US unit, with and without "US" before them.
func us(words ...string) []string {
	for _, w := range slices.Clone(words) {
		words = append(words, "us "+w)
	}
	return words
}

// qualified puts each qualifier before each name.
func qualified(qualifiers []string, words ...string) []string {
	var out []string
	for _, q := range qualifiers {
		for _, w := range words {
			out = append(out, q+" "+w)
		}
	}
	return out
}

var (
	metricWords   = []string{"metric"}
	imperialWords = []string{"imperial", "imp", "uk"}
)

var scales = []scale{
	{kind: mass, factor: 1e-6, marks: []string{"mg"}, words: []string{"milligram", "milligrams"}},
	{kind: mass, factor: 1e-3, marks: []string{"g"}, words: []string{"gram", "grams"}},
	{kind: mass, factor: 1, marks: []string{"kg", "Kg"}, words: []string{"kilogram", "kilograms", "kilo", "kilos"}},
	{kind: mass, factor: 1e3, words: []string{"tonne", "tonnes", "metric ton", "metric tons"}},
	{kind: mass, factor: grain, words: []string{"grain", "grains"}},
	{kind: mass, factor: ounce, words: []string{"oz", "ounce", "ounces"}},
	{kind: mass, factor: pound, words: []string{"lb", "lbs", "pound", "pounds"}},
	{kind: mass, factor: 2000 * pound, words: []string{"short ton", "short tons"}},
	{kind: mass, factor: 2240 * pound, words: []string{"long ton", "long tons"}},

	{kind: volume, factor: dash, words: us("dash", "dashes")},
	{kind: volume, factor: teaspoon, words: us("tsp", "tsps", "teaspoon", "teaspoons")},
	{kind: volume, factor: tablespoon, words: us("tbsp", "tbsps", "tbs", "tblsp", "tablespoon", "tablespoons")},
	{kind: volume, factor: fluidOunce, words: us("fl oz", "floz", "fluid oz", "fluid ounce", "fluid ounces")},
	{kind: volume, factor: cup, words: us("cup", "cups")},
	{kind: volume, factor: pint, words: us("pt", "pts", "pint", "pints")},
	{kind: volume, factor: quart, words: us("qt", "qts", "quart", "quarts")},
	{kind: volume, factor: gallon, words: us("gal", "gals", "gallon", "gallons")},
	{kind: volume, factor: 5 * millilitre, words: qualified(metricWords, "tsp", "teaspoon", "teaspoons")},
	{kind: volume, factor: 15 * millilitre, words: qualified(metricWords, "tbsp", "tablespoon", "tablespoons")},
	{kind: volume, factor: 250 * millilitre, words: qualified(metricWords, "cup", "cups")},
	{kind: volume, factor: imperialGallon / 160, words: qualified(imperialWords, "fl oz", "fluid ounce", "fluid ounces")},
	{kind: volume, factor: imperialGallon / 8, words: qualified(imperialWords, "pt", "pint", "pints")},
	{kind: volume, factor: imperialGallon / 4, words: qualified(imperialWords, "qt", "quart", "quarts")},
	{kind: volume, factor: imperialGallon, words: qualified(imperialWords, "gal", "gallon", "gallons")},
	{kind: volume, factor: 1e-9, marks: []string{"µL", "µl", "uL", "ul"}, words: []string{"microlitre", "microlitres", "microliter", "microliters"}},
	{kind: volume, factor: millilitre, marks: []string{"mL", "ml", "cm3", "cc"},
		words: []string{"millilitre", "millilitres", "milliliter", "milliliters", "cubic centimetre", "cubic centimetres", "cubic centimeter", "cubic centimeters"}},
	{kind: volume, factor: 1e-5, marks: []string{"cL", "cl"}, words: []string{"centilitre", "centilitres", "centiliter", "centiliters"}},
	{kind: volume, factor: 1e-4, marks: []string{"dL", "dl"}, words: []string{"decilitre", "decilitres", "deciliter", "deciliters"}},
	{kind: volume, factor: litre, marks: []string{"L", "l", "dm3"}, words: []string{"litre", "litres", "liter", "liters"}},
	{kind: volume, factor: 1, marks: []string{"m3"}, words: []string{"cubic metre", "cubic metres", "cubic meter", "cubic meters"}},
	{kind: volume, factor: inch * inch * inch, words: []string{"in3", "cu in", "cubic inch", "cubic inches"}},
	{kind: volume, factor: foot * foot * foot, words: []string{"ft3", "cu ft", "cubic foot", "cubic feet"}},

	{kind: temperature, factor: 1, marks: []string{"K"}, words: []string{"kelvin", "kelvins"}},
	{kind: temperature, factor: 1, offset: 273.15, marks: []string{"°C", "C", "℃"},
		words: []string{"celsius", "deg c", "degc", "degrees c", "degree celsius", "degrees celsius"}},
	{kind: temperature, factor: 1 / 1.8, offset: 459.67, marks: []string{"°F", "F", "℉"},
		words: []string{"fahrenheit", "deg f", "degf", "degrees f", "degree fahrenheit", "degrees fahrenheit"}},

	{kind: length, factor: 1e-6, marks: []string{"µm", "um"}, words: []string{"micron", "microns", "micrometre", "micrometres", "micrometer", "micrometers"}},
	{kind: length, factor: 1e-3, marks: []string{"mm"}, words: []string{"millimetre", "millimetres", "millimeter", "millimeters"}},
	{kind: length, factor: 1e-2, marks: []string{"cm"}, words: []string{"centimetre", "centimetres", "centimeter", "centimeters"}},
	{kind: length, factor: 1, marks: []string{"m"}, words: []string{"metre", "metres", "meter", "meters"}},
	{kind: length, factor: inch / 1000, words: []string{"mil", "mils", "thou"}},
	{kind: length, factor: inch, words: []string{"in", "inch", "inches", `"`}},
	{kind: length, factor: foot, words: []string{"ft", "foot", "feet", "'"}},
	{kind: length, factor: yard, words: []string{"yd", "yds", "yard", "yards"}},

	{kind: area, factor: 1e-6, marks: []string{"mm2"}, words: []string{"square millimetre", "square millimetres", "square millimeter", "square millimeters"}},
	{kind: area, factor: 1e-4, marks: []string{"cm2"}, words: []string{"sq cm", "square centimetre", "square centimetres", "square centimeter", "square centimeters"}},
	{kind: area, factor: 1e-2, marks: []string{"dm2"}},
	{kind: area, factor: 1, marks: []string{"m2"}, words: []string{"sq m", "square metre", "square metres", "square meter", "square meters"}},
	{kind: area, factor: inch * inch, words: []string{"in2", "sq in", "square inch", "square inches"}},
	{kind: area, factor: foot * foot, words: []string{"ft2", "sq ft", "square foot", "square feet"}},

	{kind: duration, factor: 1, marks: []string{"s"}, words: []string{"sec", "secs", "second", "seconds"}},
	{kind: duration, factor: 60, words: []string{"min", "mins", "minute", "minutes"}},
	{kind: duration, factor: 3600, marks: []string{"h"}, words: []string{"hr", "hrs", "hour", "hours"}},
	{kind: duration, factor: 86400, marks: []string{"d"}, words: []string{"day", "days"}},
	{kind: duration, factor: 7 * 86400, words: []string{"wk", "wks", "week", "weeks"}},
}

// refused are words that people write and that could be taken two ways.
var refused = map[string]string{
	"T":      `"T" and "t" are easily confused: write tbsp or tsp`,
	"t":      `"T" and "t" are easily confused: write tbsp or tsp (or tonne)`,
	"gr":     `"gr" is used for grain and for gram: write grain or g`,
	"gm":     "a gram is written g",
	"gms":    "a gram is written g",
	"ton":    "a ton can be short, long or metric: write short ton, long ton or tonne",
	"tons":   "a ton can be short, long or metric: write short tons, long tons or tonnes",
	"c":      `"c" could be cup or °C: write it out`,
	"ML":     `"ML" is a megalitre: write mL`,
	"pinch":  "a pinch has no agreed size: write 1/16 tsp, or weigh it",
	"drop":   "a drop has no agreed size: write mL",
	"drops":  "a drop has no agreed size: write mL",
	"M":      `"M" is no unit here: write m for metre, mL for millilitre`,
	"°":      "which degrees? write °C or °F",
	"deg":    "which degrees? write °C or °F",
	"degree": "which degrees? write °C or °F", "degrees": "which degrees? write °C or °F",
}

// byMark and byWord index scales.
var byMark, byWord = func() (map[string]*scale, map[string]*scale) {
	m, w := map[string]*scale{}, map[string]*scale{}
	for i := range scales {
		for _, s := range scales[i].marks {
			m[s] = &scales[i]
		}
		for _, s := range scales[i].words {
			w[s] = &scales[i]
		}
	}
	return m, w
}()

// lookup finds the unit with the given name, spaces single.
func lookup(name string) *scale {
	if s := byMark[name]; s != nil {
		return s
	}
	return byWord[strings.ToLower(name)]
}

// suggest returns ", did you mean …" for a misspelt unit of the kinds, or the
// list of the units understood.
func suggest(name string, kinds []kind) string {
	best, bestDistance := "", 2*(1+len(name)/3)
	for _, s := range scales {
		if !slices.Contains(kinds, s.kind) {
			continue
		}
		for _, candidate := range slices.Concat(s.marks, s.words) {
			d := editDistance(strings.ToLower(name), strings.ToLower(candidate))
			if d < bestDistance || d == bestDistance && best == "" { // of equals the usual name, which comes first
				best, bestDistance = candidate, d
			}
		}
	}
	if best != "" && bestDistance < 2*len(name) {
		return fmt.Sprintf("; did you mean %s?", best)
	}
	return "; understood are " + unitsOf(kinds)
}

func unitsOf(kinds []kind) string {
	var lists []string
	for _, k := range kinds {
		lists = append(lists, understood[k])
	}
	return strings.Join(lists, ", ")
}

// editDistance is the least cost that makes b of a (optimal string alignment):
// 2 for a letter put in, left out or replaced, 1 for two neighbours swapped,
// the commonest slip of all.
func editDistance(a, b string) int {
	r, s := []rune(a), []rune(b)
	d := make([][]int, len(r)+1)
	for i := range d {
		d[i] = make([]int, len(s)+1)
		d[i][0] = 2 * i
	}
	for j := range d[0] {
		d[0][j] = 2 * j
	}
	for i := 1; i <= len(r); i++ {
		for j := 1; j <= len(s); j++ {
			cost := 2
			if r[i-1] == s[j-1] {
				cost = 0
			}
			d[i][j] = min(d[i-1][j]+2, d[i][j-1]+2, d[i-1][j-1]+cost)
			if i > 1 && j > 1 && r[i-1] == s[j-2] && r[i-2] == s[j-1] {
				d[i][j] = min(d[i][j], d[i-2][j-2]+1)
			}
		}
	}
	return d[len(r)][len(s)]
}
