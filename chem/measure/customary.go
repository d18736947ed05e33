package measure

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// System is whose measures a text is written in.
type System string

// The systems: SI with litres and °C, or the customary measures of the United States.
const (
	Metric System = "metric"
	US     System = "us"
)

var (
	metricInput = regexp.MustCompile(`(?i)\d *(mm|cm|m|µm|mg|g|kg|ml|l|litres?|liters?|grams?|°? *C|dH)\b`)
	usInput     = regexp.MustCompile(`(?i)(\d|½|/|per) *(gal|gallons?|qt|quarts?|pt|pints?|lbs?|pounds?|oz|ounces?|fl oz|in|inch|inches|ft|feet|mil|°? *F|gpg)\b`)
)

// SystemOf guesses the system of what somebody wrote: customary where there is such a measure
// and no metric one. Spoons and cups are of both.
func SystemOf(texts ...string) System {
	all := strings.Join(texts, " ; ")
	if usInput.MatchString(all) && !metricInput.MatchString(all) {
		return US
	}
	return Metric
}

const metricUnit = `(µm|mm|cm²|cm|m²|m³|mL|mg/L as CaCO3|kg|g/L|g|L|°C|m)`

var (
	// One or two numbers with a metric unit, as the Format functions write them.
	metricText = regexp.MustCompile(`(-?\d[\d.]*)(?:(?: ` + metricUnit + `)?( to | ± | and )(-?\d[\d.]*))? ?` + metricUnit)
	// What is part of something longer is no measure: a word, a concentration, a number.
	runsInto   = regexp.MustCompile(`([\pL\d.,/]|[eE][+-])$`)
	runsOut    = regexp.MustCompile(`^([\pL\d²³]|/[\pL(])`)
	difference = regexp.MustCompile(`^ (warmer|hotter|colder|cooler|below|above)`)
	// The Fahrenheit that FormatTemperature writes beside.
	bracketed = regexp.MustCompile(`-?\d+ °C \((-?\d+ °F)\)`)
)

// Customary rewrites the metric measures in a text as US customary ones, with the simplest
// number within the rounding of the one that was written, or within what a hand reads off:
// "19 L" becomes "5 gal", "24 g/L" "3.2 oz/gal", "54 mm" "2 1/8 in". Less than an ounce, and
// than half a fluid one, stays in g and mL, which kitchen scales and cups show.
func Customary(text string) string {
	text = bracketed.ReplaceAllString(text, "$1")
	var out strings.Builder
	end := 0
	for _, m := range metricText.FindAllStringIndex(text, -1) {
		before, after := text[:m[0]], text[m[1]:]
		if runsInto.MatchString(before) || runsOut.MatchString(after) {
			continue
		}
		p := metricText.FindStringSubmatch(text[m[0]:m[1]])
		apart := strings.HasSuffix(before, "by ") || difference.MatchString(after)
		written := customary(p[1], p[3], p[4], p[5], apart || p[3] == " ± ")
		if p[2] != "" && p[2] != p[5] { // each in its own
			written = Customary(p[1]+" "+p[2]) + p[3] + Customary(p[4]+" "+p[5])
		}
		if written != "" {
			out.WriteString(text[end:m[0]] + written)
			end = m[1]
		}
	}
	return out.String() + text[end:]
}

const (
	sixteenth = 1. / 16 // of an inch is the finest division of a ruler
	nearlyOne = 0.97    // of a unit, from which on it is written: 15.6 oz is a pound; judgement
	tenPounds = 10      // from which on nobody counts ounces: judgement
	closely   = 0.01    // of a number, that a simpler one may lie off: kitchen scales show no less
)

// toCustomary has the largest first.
var toCustomary = map[string][]step{
	mass:            {{"lb", pound, nearlyOne, 0}, {"oz", pound / 16, nearlyOne, 0.1}},
	volume:          {{"gal", gallon, nearlyOne, 0.1}, {"qt", gallon / 4, nearlyOne, 0.1}, {"fl oz", gallon / 128, 0.5, 0.5}},
	length:          {{"ft", 12 * inch, 3, 0}, {"in", inch, sixteenth, sixteenth}, {"mil", inch / 1000, 0, 0.1}},
	area:            {{"ft²", 144 * inch * inch, nearlyOne, 0}, {"in²", inch * inch, 0, 0}},
	"g/L":           {{"oz/gal", pound / 16 / gallon, 0, 0}},
	"mg/L as CaCO3": {{"gpg", pound * 1000 / 7000 / gallon, 0, 0.1}},
}

// customary writes one or two numbers, apart for differences, and nothing where there is too little.
func customary(first, joint, second, metric string, apart bool) string {
	symbol, number := "°F", func(text string) string { return fmt.Sprintf("%.0f", 1.8*value(text)+32) }
	switch {
	case metric == "°C" && apart:
		number = func(text string) string { return fmt.Sprintf("%.0f", 1.8*value(text)) }
	case metric != "°C":
		kind, factor := metric, 1.0
		if s := byName[plain.Replace(metric)]; s != nil {
			kind, factor = s.kind, s.factor
		}
		largest, units := math.Max(value(first), value(second))*factor, toCustomary[kind]
		i := slices.IndexFunc(units, func(u step) bool { return largest/u.size >= u.from })
		if i < 0 {
			return ""
		}
		symbol, number = units[i].symbol, func(text string) string { return units[i].simplest(text, factor/units[i].size) }
		if halves := math.Round(32 * largest / pound); symbol == "lb" && joint == "" && halves < 32*tenPounds && strings.Contains(number(first), ".") {
			return strings.TrimSuffix(fmt.Sprintf("%.0f lb %g oz", math.Floor(halves/32), math.Mod(halves, 32)/2), " 0 oz")
		}
	}
	if joint != "" {
		joint += number(second)
	}
	if joint == " to "+number(first) { // the same in the coarser unit
		joint = ""
	}
	return number(first) + joint + " " + symbol
}

// simplest writes a number of a text, that is so many of the unit, with the fewest digits, or
// the coarsest fraction of an inch, within its rounding, 1 % or what a hand reads.
func (u step) simplest(text string, factor float64) string {
	x := value(text) * factor
	last := -min(len(text)-len(strings.TrimRight(text, "0")), max(0, len(text)-2)) // decimals
	if _, decimals, found := strings.Cut(text, "."); found {
		last = len(decimals)
	}
	half := max(math.Pow10(-last)/2*factor, math.Abs(x)*closely, u.finest/2)
	if u.finest == sixteenth {
		parts := 1.0
		for math.Abs(math.Round(x*parts)/parts-x) > half {
			parts *= 2
		}
		whole, rest := math.Modf(math.Round(x*parts) / parts)
		switch {
		case rest == 0:
			return fmt.Sprint(whole)
		case whole == 0:
			return fmt.Sprintf("%g/%g", rest*parts, parts)
		}
		return fmt.Sprintf("%g %g/%g", whole, rest*parts, parts)
	}
	for digits := 0; ; digits++ { // three are close enough
		rounded, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'e', digits, 64), 64) // its own output
		if math.Abs(rounded-x) <= half {
			return strconv.FormatFloat(rounded, 'f', -1, 64)
		}
	}
}
