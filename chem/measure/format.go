package measure

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"gonum.org/v1/gonum/unit"
)

// round keeps two significant digits, three when the first is a 1, as kitchen scales do.
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

// A step is a unit to write in, from some number of it on, as finely as a hand reads it.
type step struct {
	symbol             string
	size, from, finest float64 // in SI, or in the one unit that it stands for; in itself
}

// written are the units that quantities are printed in, the largest first, from one of a unit
// on, or earlier where the shop says 0.5 g and 15 cm (common practice), and the one for none.
var written = map[string]struct {
	none  string
	steps []step
}{
	mass:   {"g", []step{{"kg", 1, 1, 0}, {"g", 1e-3, 0.1, 0}, {"mg", 1e-6, 0, 0}}},
	volume: {"mL", []step{{"m³", 1, 1, 0}, {"L", 1e-3, 1, 0}, {"mL", 1e-6, 0, 0}}},
	length: {"mm", []step{{"m", 1, 1, 0}, {"cm", 1e-2, 10, 0}, {"mm", 1e-3, 0.1, 0}, {"µm", 1e-6, 0, 0}}},
	area:   {"cm²", []step{{"m²", 1, 1, 0}, {"cm²", 1e-4, 1, 0}, {"mm²", 1e-6, 0, 0}}},
}

// write uses the first step whose number is large enough, or the last.
func write[Q ~float64](x Q) string {
	const nothing, mostPlain = 1e-12, 1e7 // a nanogram, that no balance tells from nothing; beyond, zeros have to be counted
	w := written[kindOf[Q]()]
	if -nothing < x && x < nothing {
		return "0 " + w.none
	}
	i := slices.IndexFunc(w.steps, func(s step) bool { return math.Abs(round(float64(x)/s.size)) >= s.from })
	if i < 0 {
		i = len(w.steps) - 1
	}
	n, form := round(float64(x)/w.steps[i].size), byte('f')
	if math.Abs(n) >= mostPlain {
		form = 'g'
	}
	return strconv.FormatFloat(n, form, -1, 64) + " " + w.steps[i].symbol
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
