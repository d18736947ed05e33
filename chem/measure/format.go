package measure

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"gonum.org/v1/gonum/unit"
)

// round returns x with two significant digits, or three when the first is a 1: as fine as
// kitchen scales and spoons are.
func round(x float64) float64 {
	text := strconv.FormatFloat(math.Abs(x), 'e', 2, 64)
	if text[0] != '1' {
		text = strconv.FormatFloat(math.Abs(x), 'e', 1, 64)
	}
	r, _ := strconv.ParseFloat(text, 64) // infinite beyond the largest
	return math.Copysign(r, x)
}

// RoundDown keeps two significant digits of an amount above zero, and never more than there
// is: for portions. It returns 0 for anything else.
func RoundDown(x float64) float64 {
	if !(x > 0) {
		return 0
	}
	step := math.Pow(10, math.Floor(math.Log10(x))-1)
	return math.Floor(x/step+rounding) * step
}

// rounding is what float64 makes of a whole number on the way through a logarithm or a quotient.
const rounding = 1e-9

// A step says from which rounded number of a unit, in SI, on that unit is printed.
type step struct {
	size, from float64
	symbol     string
}

// written are the units that quantities are printed in, the largest first, from one of a unit
// on, or earlier where the shop says 0.5 g and 15 cm (common practice), and the one for none.
var written = map[string]struct {
	none  string
	steps []step
}{
	mass:   {"g", []step{{1, 1, "kg"}, {1e-3, 0.1, "g"}, {1e-6, 0, "mg"}}},
	volume: {"mL", []step{{1, 1, "m³"}, {1e-3, 1, "L"}, {1e-6, 0, "mL"}}},
	length: {"mm", []step{{1, 1, "m"}, {1e-2, 10, "cm"}, {1e-3, 0.1, "mm"}, {1e-6, 0, "µm"}}},
	area:   {"cm²", []step{{1, 1, "m²"}, {1e-4, 1, "cm²"}, {1e-6, 0, "mm²"}}},
}

// write uses the first step whose number is large enough, or the last.
func write[Q ~float64](x Q) string {
	const nothing = 1e-12 // a nanogram, that no balance tells from nothing
	w := written[kindOf[Q]()]
	if -nothing < x && x < nothing {
		return "0 " + w.none
	}
	i := slices.IndexFunc(w.steps, func(s step) bool { return math.Abs(round(float64(x)/s.size)) >= s.from })
	if i < 0 {
		i = len(w.steps) - 1
	}
	return strconv.FormatFloat(round(float64(x)/w.steps[i].size), 'f', -1, 64) + " " + w.steps[i].symbol
}

// FormatMass writes a mass in mg, g or kg with two significant digits, three when the first
// is a 1: "9.2 g", "460 g", "1.36 kg"; less than a nanogram as nothing.
func FormatMass(m unit.Mass) string { return write(m) }

// FormatGrams writes a mass in g as FormatMass does.
func FormatGrams(grams float64) string { return FormatMass(unit.Mass(grams) * Gram) }

// FormatVolume writes a volume in mL, L or m³, rounded like FormatMass.
func FormatVolume(v unit.Volume) string { return write(v) }

// FormatLitres writes a volume in L as FormatVolume does.
func FormatLitres(litres float64) string { return FormatVolume(unit.Volume(litres) * Litre) }

// FormatTemperature writes a temperature to whole degrees, each rounded from t: "20 °C (68 °F)".
func FormatTemperature(t unit.Temperature) string {
	c := math.Round(float64(t) - zeroCelsius)
	f := math.Round(float64(t)*1.8 - zeroFahrenheit)
	return fmt.Sprintf("%.0f °C (%.0f °F)", c+0, f+0) // + 0 turns −0 to 0
}

// FormatLength writes a length in µm, mm, cm or m, rounded like FormatMass.
func FormatLength(l unit.Length) string { return write(l) }

// FormatArea writes an area in mm², cm² or m², rounded like FormatMass.
func FormatArea(a unit.Area) string { return write(a) }
