package measure

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/unit"
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

// SystemOf guesses the system of what somebody wrote: customary where there is such
// a measure and no metric one. Spoons and cups are of both.
func SystemOf(texts ...string) System {
	all := strings.Join(texts, " ; ")
	if usInput.MatchString(all) && !metricInput.MatchString(all) {
		return US
	}
	return Metric
}

// One or two numbers with a metric unit, as the Format functions write them.
var metricText = regexp.MustCompile(`(-?\d[\d.]*)(?:( to | ± | and )(-?\d[\d.]*))? ?(µm|mm|cm²|cm|m²|m³|mL|mg|kg|g/L|g|L|°C|m)`)

// bracketed is the Fahrenheit that FormatTemperature writes beside.
var bracketed = regexp.MustCompile(`-?\d+ °C \((-?\d+ °F)\)`)

// Customary rewrites the metric measures in a text as US customary ones, with the
// simplest number that lies within the rounding of the one that was written: "19 L"
// becomes "5 gal", "24 g/L" becomes "3.2 oz/gal". Other units, such as mol/L and
// mg/L, stay as they are.
func Customary(text string) string {
	text = bracketed.ReplaceAllString(text, "$1")
	var out strings.Builder
	end := 0
	for _, m := range metricText.FindAllStringSubmatchIndex(text, -1) {
		before, after := text[:m[0]], text[m[1]:]
		if runsInto(before, after) {
			continue
		}
		first, joint, second := text[m[2]:m[3]], "", ""
		if m[4] >= 0 {
			joint, second = text[m[4]:m[5]], text[m[6]:m[7]]
		}
		apart := strings.HasSuffix(before, "by ") || regexp.MustCompile(`^ (warmer|hotter|colder|cooler|below|above)`).MatchString(after)
		if written := customary(first, joint, second, text[m[8]:m[9]], apart || joint == " ± "); written != "" {
			out.WriteString(text[end:m[0]] + written)
			end = m[1]
		}
	}
	return out.String() + text[end:]
}

// runsInto reports whether a match is part of something longer: a word, a
// concentration, a number.
func runsInto(before, after string) bool {
	return regexp.MustCompile(`([\pL\d.,/]|[eE][+-])$`).MatchString(before) || regexp.MustCompile(`^([\pL\d²³]|/[\pL(])`).MatchString(after)
}

// A customaryUnit is one to write a metric unit in, from some number of it on.
type customaryUnit struct {
	symbol     string
	size, from float64 // the first in the metric unit
}

// toCustomary has the largest first.
var toCustomary = map[string][]customaryUnit{
	"kg": {{"lb", pound, 0}},
	"g":  {{"lb", 1000 * pound, 0.97}, {"oz", 1000 * pound / 16, 0}},
	"mg": {{"oz", 1e6 * pound / 16, 0.05}},
	"m³": {{"gal", gallon, 0}}, "L": {{"gal", 1e3 * gallon, 0.97}, {"qt", 250 * gallon, 0.97}, {"fl oz", 1e3 * gallon / 128, 0}},
	"mL": {{"qt", 2.5e5 * gallon, 0.97}, {"fl oz", 1e6 * gallon / 128, 0.5}}, // less is said in spoons beside it, or in mL
	"m":  {{"ft", 12 * inch, 3}, {"in", inch, 0}}, "cm": {{"in", 100 * inch, 0}}, "mm": {{"in", 1000 * inch, 0}}, "µm": {{"mil", 1000 * inch, 0}},
	"m²": {{"ft²", 144 * inch * inch, 0}}, "cm²": {{"ft²", 1.44e6 * inch * inch, 1}, {"in²", 1e4 * inch * inch, 0}},
	"g/L": {{"oz/gal", pound / 16 / gallon, 0}},
}

// customary writes one or two numbers of a metric unit; apart is for differences. It is
// empty for what is too little for any unit.
func customary(first, joint, second, metric string, apart bool) string {
	symbol, number := "°F", func(text string) string { return fmt.Sprintf("%.0f", 1.8*size(text)+32) }
	switch units := toCustomary[metric]; {
	case metric != "°C":
		largest := math.Max(size(first), size(second))
		i := slices.IndexFunc(units, func(u customaryUnit) bool { return largest/u.size >= u.from })
		if i < 0 {
			return ""
		}
		symbol, number = units[i].symbol, func(text string) string { return simplest(size(text), text, units[i].size) }
		if metric == "g" && symbol == "lb" && joint == "" && strings.Contains(number(first), ".") {
			return poundsAndOunces(unit.Mass(largest) * Gram)
		}
	case apart:
		number = func(text string) string { return fmt.Sprintf("%.0f", 1.8*size(text)) }
	}
	if joint != "" {
		joint += number(second)
	}
	return number(first) + joint + " " + symbol
}

// poundsAndOunces writes a mass above a pound, to half an ounce: "1 lb 4 oz", "12.5 lb"
// from ten pounds on.
func poundsAndOunces(m unit.Mass) string {
	halves := math.Round(float64(2 * m / Ounce))
	if halves >= 320 {
		return roundText(float64(m/Pound)) + " lb"
	}
	text := fmt.Sprintf("%g lb", math.Floor(halves/32))
	if rest := math.Mod(halves, 32) / 2; rest > 0 {
		text += fmt.Sprintf(" %g oz", rest)
	}
	return text
}

func size(text string) float64 {
	x, _ := strconv.ParseFloat(text, 64) // matched as a number, or absent
	return x
}

// simplest divides a number by the size of a unit and writes it with the fewest
// digits that stay within the rounding of the text that it was read from, or within 1 %.
func simplest(x float64, text string, size float64) string {
	if x == 0 {
		return text
	}
	last := -min(len(text)-len(strings.TrimRight(text, "0")), max(0, len(text)-2)) // decimals
	if _, decimals, found := strings.Cut(text, "."); found {
		last = len(decimals)
	}
	half := max(math.Pow10(-last)/2, math.Abs(x)/100) / size
	x /= size
	for digits := range 4 {
		rounded, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'e', digits, 64), 64) // its own output
		if math.Abs(rounded-x) <= half {
			return strconv.FormatFloat(rounded, 'f', -1, 64)
		}
	}
	return roundText(x)
}
