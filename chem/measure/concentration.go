package measure

import (
	"math"
	"regexp"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
)

// A MassConcentration is a mass of reagent per volume of finished solution, in
// g/L, which is the same number in kg/m³.
type MassConcentration float64

// Concentration returns the concentration of m in v of solution. It refuses a
// volume that is not positive and a mass that is negative or not finite.
func Concentration(m unit.Mass, v unit.Volume) (MassConcentration, error) {
	if err := chem.Within("mass", float64(m/Gram), 0, math.Inf(1), "g"); err != nil {
		return 0, err
	}
	c := float64(m) / float64(v)
	if !(v > 0) || math.IsInf(float64(v), 1) || math.IsInf(c, 0) {
		return 0, &chem.InputError{Field: "volume", Value: FormatVolume(v), Want: "a volume above 0 for the mass to be in"}
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
func (c MassConcentration) PercentWV() float64 { return float64(c.MassIn(Litre/10) / Gram) }

// OuncesPerGallon returns the concentration in avoirdupois ounces per US gallon.
func (c MassConcentration) OuncesPerGallon() float64 { return float64(c.MassIn(Gallon) / Ounce) }

// PoundsPerGallon returns the concentration in pounds per US gallon.
func (c MassConcentration) PoundsPerGallon() float64 { return float64(c.MassIn(Gallon) / Pound) }

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
func ParseConcentration(text string) (MassConcentration, error) {
	s := newScanner("concentration", text)
	var c MassConcentration
	if strings.Contains(text, "%") || strings.Contains(strings.ToLower(text), "percent") {
		c = s.percent()
	} else {
		c = s.quotient()
	}
	if s.err != nil {
		return 0, s.err
	}
	return c, nil
}

// per is what stands between a mass and a volume: a word, or a slash that is no
// fraction bar.
var per = regexp.MustCompile(`\D(/| per )`)

// quotient reads a mass over a volume.
func (s *scanner) quotient() MassConcentration {
	cut := per.FindStringSubmatchIndex(s.text)
	if cut == nil {
		s.fail(0, "a mass per volume, as in 24 g/L or 1 lb per 5 gal, or a percentage, as in 5 % w/v", "")
		return 0
	}
	s.end = cut[2]
	m, _ := s.measure([]string{mass}, false)
	s.pos, s.end = cut[3], len(s.text)
	v, _ := s.measure([]string{volume}, true)
	if v == 0 || math.IsInf(m/v, 0) {
		s.fail(cut[3], "a volume above 0", "")
	}
	return MassConcentration(m / v)
}

// percent reads a percentage by weight per volume.
func (s *scanner) percent() MassConcentration {
	s.skipSpace()
	if !s.startsNumber() {
		s.fail(s.pos, "a number of percent w/v, 0 or more", "")
	}
	x := s.number()
	s.skipSpace()
	name := strings.ToLower(strings.NewReplacer(" ", "", "(", "", ")", "").Replace(s.rest()))
	basis, ok := strings.CutPrefix(strings.Replace(name, "percent", "%", 1), "%")
	switch {
	case ok && (basis == "w/v" || basis == "m/v"):
		return MassConcentration(10 * x) // 1 g in 100 mL
	case ok && basis == "":
		s.fail(s.pos, "% w/v for grams in 100 mL of solution", "percent of what?")
	default:
		s.fail(s.pos, "% w/v", "percent of weight needs a density")
	}
	return 0
}
