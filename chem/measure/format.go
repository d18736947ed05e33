package measure

import (
	"fmt"
	"math"
	"strconv"

	"gonum.org/v1/gonum/unit"
)

// round returns x with two significant digits, or three when the first is a 1.
// That is within 2.5 % everywhere, as fine as kitchen scales and spoons are.
func round(x float64) float64 {
	text := strconv.FormatFloat(math.Abs(x), 'e', 2, 64)
	if text[0] != '1' {
		text = strconv.FormatFloat(math.Abs(x), 'e', 1, 64)
	}
	r, _ := strconv.ParseFloat(text, 64) // infinite beyond the largest
	return math.Copysign(r, x)
}

// RoundDown keeps two significant digits of an amount above zero, and never more than
// there is: for portions. It returns 0 for anything else.
func RoundDown(x float64) float64 {
	if !(x > 0) {
		return 0
	}
	step := math.Pow(10, math.Floor(math.Log10(x))-1)
	return math.Floor(x/step+1e-9) * step
}

func roundText(x float64) string { return strconv.FormatFloat(round(x), 'f', -1, 64) }

// A step says from which rounded number of a unit on that unit is printed.
type step[Q ~float64] struct {
	size   Q
	from   float64
	symbol string
}

// write uses the first step whose number is large enough, or the last.
func write[Q ~float64](x Q, steps []step[Q]) string {
	for i, s := range steps {
		if n := float64(x / s.size); math.Abs(round(n)) >= s.from || i == len(steps)-1 {
			return roundText(n) + " " + s.symbol
		}
	}
	return ""
}

// FormatMass writes a mass in mg, g or kg with two significant digits, three
// when the first is a 1: "9.2 g", "460 g", "1.36 kg"; less than a nanogram
// as nothing. ParseMass reads it back within 2.5 %.
func FormatMass(m unit.Mass) string {
	const nothing = 1e-12 // a nanogram, that no balance tells from nothing
	if -nothing < m && m < nothing {
		return "0 g"
	}
	return write(m, []step[unit.Mass]{{Kilogram, 1, "kg"}, {Gram, 0.1, "g"}, {Milligram, 0, "mg"}})
}

// FormatGrams writes a mass in g, as the fields of results hold it, as FormatMass
// does.
func FormatGrams(grams float64) string { return FormatMass(unit.Mass(grams) * Gram) }

// FormatMassUS writes a mass in pounds and ounces: "0.32 oz", "6.7 oz",
// "1 lb 4 oz" (to half an ounce), "12.5 lb" from ten pounds on. Within 2.5 %.
func FormatMassUS(m unit.Mass) string {
	halves := math.Round(float64(2 * m / Ounce))
	if !(halves >= 32 && m < 10*Pound) {
		return write(m, []step[unit.Mass]{{Pound, 1, "lb"}, {Ounce, 0, "oz"}})
	}
	text := fmt.Sprintf("%g lb", math.Floor(halves/32))
	if rest := math.Mod(halves, 32) / 2; rest > 0 {
		text += fmt.Sprintf(" %g oz", rest)
	}
	return text
}

// FormatVolume writes a volume in mL, L or m³, rounded like FormatMass.
func FormatVolume(v unit.Volume) string {
	return write(v, []step[unit.Volume]{{CubicMetre, 1, "m³"}, {Litre, 1, "L"}, {Millilitre, 0, "mL"}})
}

// FormatLitres writes a volume in L, as the fields of results hold it, as
// FormatVolume does.
func FormatLitres(litres float64) string { return FormatVolume(unit.Volume(litres) * Litre) }

// FormatVolumeUS writes a volume in US teaspoons, fluid ounces, quarts or
// gallons, rounded like FormatMass: "1.5 tsp", "12 fl oz", "2.1 qt", "5.3 gal".
// For spoons that exist see Spoons.
func FormatVolumeUS(v unit.Volume) string {
	return write(v, []step[unit.Volume]{{Gallon, 1, "gal"}, {Quart, 1, "qt"}, {FluidOunce, 1, "fl oz"}, {Teaspoon, 0, "tsp"}})
}

// FormatTemperature writes a temperature to whole degrees: "20 °C (68 °F)".
// Both numbers are rounded from t, not one from the other.
func FormatTemperature(t unit.Temperature) string {
	c := math.Round(float64(t) - zeroCelsius)
	f := math.Round(float64(t)*1.8 - zeroFahrenheit)
	return fmt.Sprintf("%.0f °C (%.0f °F)", c+0, f+0) // + 0 turns −0 to 0
}

// FormatLength writes a length in µm, mm, cm or m, rounded like FormatMass.
func FormatLength(l unit.Length) string {
	if l == 0 {
		return "0 mm"
	}
	return write(l, []step[unit.Length]{{Metre, 1, "m"}, {Centimetre, 10, "cm"}, {Millimetre, 0.1, "mm"}, {Micrometre, 0, "µm"}})
}

// FormatArea writes an area in mm², cm² or m², rounded like FormatMass.
func FormatArea(a unit.Area) string {
	if a == 0 {
		return "0 cm²"
	}
	return write(a, []step[unit.Area]{{SquareMetre, 1, "m²"}, {SquareCentimetre, 1, "cm²"}, {SquareMillimetre, 0, "mm²"}})
}

// FormatTime writes a time in two neighbouring units at most, the smaller
// rounded: "45 s", "1 min 30 s", "2 h 30 min", "3 d 4 h".
func FormatTime(t unit.Time) string {
	if !(t >= 10 && t < 1e12) {
		return roundText(float64(t)) + " s"
	}
	for _, u := range []struct {
		large, small             unit.Time
		largeSymbol, smallSymbol string
	}{{Day, Hour, "d", "h"}, {Hour, Minute, "h", "min"}, {Minute, Second, "min", "s"}} {
		n, per := math.Round(float64(t/u.small)), float64(u.large/u.small)
		rest := math.Mod(n, per)
		switch {
		case n < per:
			continue
		case rest == 0:
			return fmt.Sprintf("%.0f %s", n/per, u.largeSymbol)
		}
		return fmt.Sprintf("%.0f %s %.0f %s", math.Floor(n/per), u.largeSymbol, rest, u.smallSymbol)
	}
	return fmt.Sprintf("%.0f s", float64(t))
}
