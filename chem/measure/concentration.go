package measure

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/unit"
)

// A MassConcentration is a mass of reagent per volume of finished solution, in
// kg/m³, which is the same number in g/L.
type MassConcentration float64

// Factors of the customary concentrations, in kg/m³.
const (
	percentWV      = 10 // 1 g in 100 mL
	ouncePerGallon = ounce / gallon
	poundPerGallon = pound / gallon
)

// Concentration returns the concentration of m in v of solution. It refuses a
// volume that is not positive and a mass that is negative or not finite.
func Concentration(m unit.Mass, v unit.Volume) (MassConcentration, error) {
	c := float64(m) / float64(v)
	if !(v > 0) || !(m >= 0) || math.IsInf(float64(v), 1) || math.IsInf(c, 0) {
		return 0, fmt.Errorf("%w: concentration of %g kg in %g m³: expected a mass from 0 and a volume above 0", ErrMeasure, float64(m), float64(v))
	}
	return MassConcentration(c), nil
}

// MassIn returns the mass of reagent in v of solution.
func (c MassConcentration) MassIn(v unit.Volume) unit.Mass {
	return unit.Mass(float64(c) * float64(v))
}

// GramsPerLitre returns the concentration in g/L.
func (c MassConcentration) GramsPerLitre() float64 { return float64(c) }

// PercentWV returns the concentration in percent weight per volume: grams in 100 mL.
func (c MassConcentration) PercentWV() float64 { return float64(c) / percentWV }

// OuncesPerGallon returns the concentration in avoirdupois ounces per US gallon.
func (c MassConcentration) OuncesPerGallon() float64 { return float64(c) / ouncePerGallon }

// PoundsPerGallon returns the concentration in pounds per US gallon.
func (c MassConcentration) PoundsPerGallon() float64 { return float64(c) / poundPerGallon }

// String returns the concentration in g/L, or mg/L below 0.1 g/L, rounded as
// FormatMass does.
func (c MassConcentration) String() string {
	if c != 0 && c < 0.1 {
		return roundText(1000*float64(c)) + " mg/L"
	}
	return roundText(float64(c)) + " g/L"
}

// ParseConcentration reads a mass per volume of solution, such as "24 g/L",
// "1 oz/gal", "1 lb per 5 gal", or a percentage by weight per volume,
// "5 % w/v". A bare percentage is refused, because it may as well mean weight
// per weight, which needs the density of the solution.
func ParseConcentration(s string) (MassConcentration, error) {
	const quantity = "concentration"
	if len(s) > maxLength {
		return 0, newScanner(quantity, s).fail(0, fmt.Sprintf("longer than %d bytes", maxLength))
	}
	if strings.Contains(s, "%") || strings.Contains(strings.ToLower(s), "percent") {
		return parsePercent(newScanner(quantity, s))
	}
	cut, size := perSign(s)
	if cut < 0 {
		return 0, newScanner(quantity, s).fail(len(s), "expected a mass per volume, as in 24 g/L or 1 lb per 5 gal, or a percentage, as in 5 % w/v")
	}
	top := &scanner{quantity: quantity, input: s, end: cut}
	m, _, err := top.measure([]kind{mass}, false)
	if err != nil {
		return 0, err
	}
	bottom := &scanner{quantity: quantity, input: s, pos: cut + size, end: len(s)}
	v, _, err := bottom.measure([]kind{volume}, true)
	if err != nil {
		return 0, err
	}
	if v == 0 {
		return 0, bottom.fail(cut+size, "a mass in no volume")
	}
	return MassConcentration(m / v), nil
}

// perSign finds " per ", or a slash that is no fraction bar.
func perSign(s string) (at, size int) {
	for i := range len(s) {
		if i > 0 && s[i] == '/' && !isDigit(rune(s[i-1])) {
			return i, 1
		}
		if strings.HasPrefix(s[i:], " per ") {
			return i, len(" per ")
		}
	}
	return -1, 0
}

func parsePercent(s *scanner) (MassConcentration, error) {
	s.skipSpace()
	if !s.startsNumber() {
		return 0, s.fail(s.pos, "expected a number of percent w/v, 0 or more")
	}
	x, err := s.number()
	if err != nil {
		return 0, err
	}
	s.skipSpace()
	name := strings.ToLower(strings.Join(strings.FieldsFunc(s.rest(), func(r rune) bool {
		return strings.ContainsRune(" \t\u00a0()", r)
	}), ""))
	basis, ok := strings.CutPrefix(name, "%")
	if !ok {
		basis, ok = strings.CutPrefix(name, "percent")
	}
	switch {
	case !ok:
		return 0, s.fail(s.pos, fmt.Sprintf("unexpected %q after the number", abridge(s.rest())))
	case basis == "w/v" || basis == "m/v":
		return MassConcentration(x * percentWV), nil
	case basis == "":
		return 0, s.fail(s.pos, "percent of what? write % w/v for grams in 100 mL of solution")
	}
	return 0, s.fail(s.pos, fmt.Sprintf("%q needs a density: expected %% w/v", abridge(s.rest())))
}
