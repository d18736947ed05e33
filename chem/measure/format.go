package measure

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/unit"
)

// round returns x with two significant digits, or three when the first is a 1.
// That is within 2.5 % everywhere, as fine as kitchen scales and spoons are.
func round(x float64) float64 {
	if x == 0 || math.IsNaN(x) || math.IsInf(x, 0) {
		return x
	}
	e := math.Floor(math.Log10(math.Abs(x)))
	lead := math.Abs(x) / math.Pow(10, e)
	digits := 2
	if lead < 1.995 {
		digits = 3
	}
	r, err := strconv.ParseFloat(strconv.FormatFloat(x, 'e', digits-1, 64), 64)
	if err != nil {
		return x
	}
	return r
}

func roundText(x float64) string { return strconv.FormatFloat(round(x), 'f', -1, 64) }

// A step says from which rounded number of a unit on that unit is printed.
type step struct {
	factor float64 // SI
	from   float64 // in the unit
	symbol string
}

// write uses the first step whose number is large enough, or the last.
func write(x float64, steps ...step) string {
	for i, s := range steps {
		if n := math.Abs(round(x / s.factor)); n >= s.from || i == len(steps)-1 {
			return roundText(x/s.factor) + " " + s.symbol
		}
	}
	return ""
}

// FormatMass writes a mass in mg, g or kg with two significant digits, three
// when the first is a 1: "9.2 g", "460 g", "1.36 kg". ParseMass reads it back
// within 2.5 %.
func FormatMass(m unit.Mass) string {
	if m == 0 {
		return "0 g"
	}
	return write(float64(m), step{1, 1, "kg"}, step{1e-3, 0.1, "g"}, step{1e-6, 0, "mg"})
}

// FormatMassUS writes a mass in pounds and ounces: "0.32 oz", "6.7 oz",
// "1 lb 4 oz" (to half an ounce), "12.5 lb" from ten pounds on. Within 2.5 %.
func FormatMassUS(m unit.Mass) string {
	lb := float64(m) / pound
	halves := math.Round(2 * 16 * lb)
	if !(halves >= 32 && lb < 10) {
		return write(float64(m), step{pound, 1, "lb"}, step{ounce, 0, "oz"})
	}
	whole, rest := math.Floor(halves/32), math.Mod(halves, 32)/2
	text := fmt.Sprintf("%g lb", whole)
	if rest > 0 {
		text += fmt.Sprintf(" %g oz", rest)
	}
	return text
}

// FormatVolume writes a volume in mL, L or m³, rounded like FormatMass.
func FormatVolume(v unit.Volume) string {
	if v == 0 {
		return "0 mL"
	}
	return write(float64(v), step{1, 1, "m³"}, step{litre, 1, "L"}, step{millilitre, 0, "mL"})
}

// FormatVolumeUS writes a volume in US teaspoons, fluid ounces, quarts or
// gallons, rounded like FormatMass: "1.5 tsp", "12 fl oz", "2.1 qt", "5.3 gal".
// For spoons that exist see Spoons.
func FormatVolumeUS(v unit.Volume) string {
	return write(float64(v), step{gallon, 1, "gal"}, step{quart, 1, "qt"}, step{fluidOunce, 1, "fl oz"}, step{teaspoon, 0, "tsp"})
}

// FormatTemperature writes a temperature to whole degrees: "20 °C (68 °F)".
// Both numbers are rounded from t, not one from the other.
func FormatTemperature(t unit.Temperature) string {
	c := math.Round(float64(t) - 273.15)
	f := math.Round(float64(t)*1.8 - 459.67)
	return fmt.Sprintf("%.0f °C (%.0f °F)", c+0, f+0) // + 0 turns −0 to 0
}

// FormatLength writes a length in µm, mm, cm or m, rounded like FormatMass.
func FormatLength(l unit.Length) string {
	if l == 0 {
		return "0 mm"
	}
	return write(float64(l), step{1, 1, "m"}, step{1e-2, 10, "cm"}, step{1e-3, 0.1, "mm"}, step{1e-6, 0, "µm"})
}

// FormatArea writes an area in mm², cm² or m², rounded like FormatMass.
func FormatArea(a unit.Area) string {
	if a == 0 {
		return "0 cm²"
	}
	return write(float64(a), step{1, 1, "m²"}, step{1e-4, 1, "cm²"}, step{1e-6, 0, "mm²"})
}

// FormatTime writes a time in two neighbouring units at most, the smaller
// rounded: "45 s", "1 min 30 s", "2 h 30 min", "3 d 4 h".
func FormatTime(t unit.Time) string {
	seconds := float64(t)
	if !(seconds >= 10 && seconds < 1e12) {
		return roundText(seconds) + " s"
	}
	units := []struct {
		size   float64
		symbol string
	}{{86400, "d"}, {3600, "h"}, {60, "min"}, {1, "s"}}
	for i, u := range units {
		if i+1 == len(units) {
			return fmt.Sprintf("%.0f s", seconds)
		}
		small := units[i+1]
		n := math.Round(seconds / small.size) // of the smaller unit
		per := u.size / small.size
		if n < per {
			continue
		}
		text := fmt.Sprintf("%.0f %s", math.Floor(n/per), u.symbol)
		if rest := math.Mod(n, per); rest > 0 {
			text += fmt.Sprintf(" %.0f %s", rest, small.symbol)
		}
		return strings.TrimSpace(text)
	}
	return ""
}
