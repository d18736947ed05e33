package measure

import (
	"math"
	"reflect"
	"regexp"
	"slices"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
)

// The kinds of quantities that have units here, as package unit names them.
const (
	mass, volume, temperature = "mass", "volume", "temperature"
	length, area, duration    = "length", "area", "time"
)

func kindOf[Q ~float64]() string { return strings.ToLower(reflect.TypeFor[Q]().Name()) }

// usual lists the usual units of each kind for messages.
var usual = map[string]string{
	mass:        "mg, g, kg, grain, oz, lb",
	volume:      "tsp, tbsp, fl oz, cup, pt, qt, gal, mL, L",
	temperature: "°C, °F, K",
	length:      "µm, mm, cm, m, mil, in, ft",
	area:        "cm², m², in², ft²",
	duration:    "s, min, h, d, week",
}

// A scale is a unit: a reading x is (x + offset)·factor in SI.
type scale struct {
	kind   string
	factor float64
	offset float64  // temperature only
	marks  []string // symbols in which capitals matter
	words  []string // lower case; capitals do not matter
}

// metric reports whether the unit is a power of ten of SI's, as spoons and units of time are not.
func (s *scale) metric() bool {
	exponent := math.Log10(s.factor)
	return s.kind != duration && math.Abs(exponent-math.Round(exponent)) < rounding
}

// row makes a scale of its size. Marks and words stand between commas, gram/s is gram and
// grams, and each qualifier goes before each word.
func row[Q ~float64](size Q, marks, words string, qualifiers ...string) scale {
	s := scale{kind: kindOf[Q](), factor: float64(size)}
	if marks != "" {
		s.marks = strings.Split(marks, ", ")
	}
	if len(qualifiers) == 0 {
		qualifiers = []string{""}
	}
	for _, q := range qualifiers {
		for w := range strings.SplitSeq(words, ", ") {
			one, end, plural := strings.Cut(w, "/")
			if s.words = append(s.words, q+one); plural {
				s.words = append(s.words, q+one+end)
			}
		}
	}
	return s
}

// from moves the zero of a scale, in its own degrees.
func (s scale) from(offset float64) scale {
	s.offset = offset
	return s
}

// The zeros of the scales above absolute zero, in their own degrees.
const (
	zeroCelsius    = 273.15
	zeroFahrenheit = 459.67
)

// scales are the units by kind, the usual first: of equally near names it is suggested.
var scales = []scale{
	row(unit.Mass(1e-6), "mg", "milligram/s"),
	row(Gram, "g", "gram/s"),
	row(Kilogram, "kg, Kg", "kilogram/s, kilo/s"),
	row(1000*Kilogram, "", "tonne/s, metric ton/s"),
	row(Pound/7000, "", "grain/s"),
	row(Ounce, "", "oz, ounce/s"),
	row(Pound, "", "lb/s, pound/s"),
	row(2000*Pound, "", "short ton/s"),
	row(2240*Pound, "", "long ton/s"),

	row(Teaspoon/8, "", "dash/es", "", "us "),
	row(Teaspoon, "", "tsp/s, teaspoon/s", "", "us "),
	row(Tablespoon, "", "tbsp/s, tbs, tblsp, tablespoon/s", "", "us "),
	row(FluidOunce, "", "fl oz, floz, fluid oz, fluid ounce/s", "", "us "),
	row(Cup, "", "cup/s", "", "us "),
	row(Pint, "", "pt/s, pint/s", "", "us "),
	row(Quart, "", "qt/s, quart/s", "", "us "),
	row(Gallon, "", "gal/s, gallon/s", "", "us "),
	row(5*Millilitre, "", "tsp, teaspoon/s", "metric "),
	row(15*Millilitre, "", "tbsp, tablespoon/s", "metric "),
	row(250*Millilitre, "", "cup/s", "metric "),
	row(unit.Volume(imperialGallon/160), "", "fl oz, fluid ounce/s", "imperial ", "imp ", "uk "),
	row(unit.Volume(imperialGallon/8), "", "pt, pint/s", "imperial ", "imp ", "uk "),
	row(unit.Volume(imperialGallon/4), "", "qt, quart/s", "imperial ", "imp ", "uk "),
	row(unit.Volume(imperialGallon), "", "gal, gallon/s", "imperial ", "imp ", "uk "),
	row(Litre/1e6, "µL, µl, uL, ul", "microlitre/s, microliter/s"),
	row(Millilitre, "mL, ml, cm3, cc", "millilitre/s, milliliter/s, cubic centimetre/s, cubic centimeter/s"),
	row(Litre/100, "cL, cl", "centilitre/s, centiliter/s"),
	row(Litre/10, "dL, dl", "decilitre/s, deciliter/s"),
	row(Litre, "L, l, dm3", "litre/s, liter/s"),
	row(unit.Volume(1), "m3", "cubic metre/s, cubic meter/s"),
	row(unit.Volume(inch*inch*inch), "", "in3, cu in, cubic inch/es"),
	row(unit.Volume(1728*inch*inch*inch), "", "ft3, cu ft, cubic foot, cubic feet"),

	row(unit.Temperature(1), "K", "kelvin/s"),
	row(unit.Temperature(1), "°C, C", "celsius, deg c, degc, degrees c, degree celsius, degrees celsius").from(zeroCelsius),
	row(unit.Temperature(1/1.8), "°F, F", "fahrenheit, deg f, degf, degrees f, degree fahrenheit, degrees fahrenheit").from(zeroFahrenheit),

	row(Micrometre, "µm, um", "micron/s, micrometre/s, micrometer/s"),
	row(Millimetre, "mm", "millimetre/s, millimeter/s"),
	row(Centimetre, "cm", "centimetre/s, centimeter/s"),
	row(unit.Metre, "m", "metre/s, meter/s"),
	row(Inch/1000, "", "mil/s, thou"),
	row(Inch, "", `in, inch/es, "`),
	row(Foot, "", "ft, foot, feet, '"),
	row(3*Foot, "", "yd/s, yard/s"),

	row(unit.Area(1e-6), "mm2", "square millimetre/s, square millimeter/s"),
	row(SquareCentimetre, "cm2", "sq cm, square centimetre/s, square centimeter/s"),
	row(100*SquareCentimetre, "dm2", "square decimetre/s, square decimeter/s"),
	row(SquareMetre, "m2", "sq m, square metre/s, square meter/s"),
	row(unit.Area(inch*inch), "", "in2, sq in, square inch/es"),
	row(SquareFoot, "", "ft2, sq ft, square foot, square feet"),

	row(unit.Time(1), "s", "sec/s, second/s"),
	row(Minute, "", "min/s, minute/s"),
	row(Hour, "h", "hr/s, hour/s"),
	row(Day, "d", "day/s"),
	row(7*Day, "", "wk/s, week/s"),
}

// ounces tells apart the two units of that name, where one was taken for the other.
var ounces = map[float64]string{
	float64(Ounce):      "; the fluid ounce is written fl oz",
	float64(FluidOunce): "; the ounce of mass is written oz",
}

// refused are words that could be taken two ways, with what to write in their place and why.
var refused = map[string]struct{ want, why string }{
	"T":      {"tbsp or tsp", `"T" and "t" are easily confused`},
	"t":      {"tbsp, tsp or tonne", `"T" and "t" are easily confused`},
	"gr":     {"grain or g", `"gr" is used for grain and for gram`},
	"gm":     {"g", "a gram is written g"},
	"ton":    {"short ton, long ton or tonne", "a ton can be short, long or metric"},
	"c":      {"cup or °C, written out", `"c" could be either`},
	"ML":     {"mL", `"ML" is a megalitre`},
	"pinch":  {"1/16 tsp, or a weight", "a pinch has no agreed size"},
	"drop":   {"mL", "a drop has no agreed size"},
	"M":      {"m for metre or mL for millilitre", `"M" is no unit here`},
	"°":      {"°C or °F", "which degrees?"},
	"deg":    {"°C or °F", "which degrees?"},
	"degree": {"°C or °F", "which degrees?"},
}

// byName holds the units by their names, and unitText finds the longest that no letter runs on
// from; a digit that something does begins a number, as in 5ft3in.
var byName, unitText = func() (map[string]*scale, *regexp.Regexp) {
	index, patterns := map[string]*scale{}, map[bool][]string{}
	for i, s := range scales {
		for n, name := range slices.Concat(s.marks, s.words) {
			index[name] = &scales[i]
			pattern := strings.NewReplacer(" ", `\.? *`, "°", "° ?").Replace(regexp.QuoteMeta(name))
			if n >= len(s.marks) {
				pattern = "(?i:" + pattern + ")"
			}
			raised := strings.ContainsAny(name, "23")
			patterns[raised] = append(patterns[raised], pattern)
		}
	}
	longest := func(all []string) string {
		slices.SortStableFunc(all, func(a, b string) int { return len(b) - len(a) })
		return strings.Join(all, "|")
	}
	return index, regexp.MustCompile(`^(?:(` + longest(patterns[true]) + `)(?:[^\pL\pN/."']|$)|(` + longest(patterns[false]) + `)(?:[^\pL°"']|$))`)
}()

// suggest names the unit that a misspelt one is nearest to, or the usual ones if none is near
// or there is but a letter to go by.
func suggest(name string, kinds []string) string {
	var lower []string
	as := map[string]string{} // written, by its lower case
	for _, s := range scales {
		for _, known := range slices.Concat(s.marks, s.words) {
			small := strings.ToLower(known)
			if _, twice := as[small]; !twice && slices.Contains(kinds, s.kind) {
				lower, as[small] = append(lower, small), known
			}
		}
	}
	if near := chem.Nearest(strings.ToLower(name), slices.Values(lower)); len(near) > 0 && len(name) > 1 {
		return "a unit such as " + as[near[0]]
	}
	return unitsOf(kinds)
}

func unitsOf(kinds []string) string {
	lists := make([]string, len(kinds))
	for i, k := range kinds {
		lists[i] = usual[k]
	}
	return "a unit such as " + strings.Join(lists, ", ")
}
