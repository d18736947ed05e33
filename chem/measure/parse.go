package measure

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"gonum.org/v1/gonum/unit"
)

// ParseMass reads a mass such as "30 g", "2.5 lb" or "1 lb 4 oz", avoirdupois.
//
// Like all parsers of this package it refuses negative numbers. Every error is a
// [*chem.InputError] whose field is the quantity.
func ParseMass(s string) (unit.Mass, error) { return parse[unit.Mass](s) }

// ParseVolume reads a volume such as "2 tbsp", "12 fl oz", "5 gal" or "20 L". Spoons, cups,
// pints, quarts and gallons are US measures unless "metric" or "imperial" stands before
// them. "level" before a unit changes nothing; heaped spoons are refused.
func ParseVolume(s string) (unit.Volume, error) { return parse[unit.Volume](s) }

// ParseTemperature reads a temperature from absolute zero on, such as "70F", "-5 °C" or "293.15 K".
func ParseTemperature(s string) (unit.Temperature, error) { return parse[unit.Temperature](s) }

// ParseLength reads a length such as "3/4 in", "5 ft 3 1/2 in", "2 mil" or "50 µm".
func ParseLength(s string) (unit.Length, error) { return parse[unit.Length](s) }

// ParseArea reads an area such as "2 ft²", "30 sq in" or "400 cm2".
func ParseArea(s string) (unit.Area, error) { return parse[unit.Area](s) }

// ParseTime reads a time such as "45 min", "2 h 30 min" or "1 week".
func ParseTime(s string) (unit.Time, error) { return parse[unit.Time](s) }

// parse reads a measure of one quantity.
func parse[Q ~float64](text string) (Q, error) {
	k := kindOf[Q]()
	s := newScanner(k, text)
	x, _ := s.measure([]string{k})
	if s.err != nil {
		return 0, s.err
	}
	return Q(x), nil
}

// measure reads the whole of the scanner.
func (s *scanner) measure(kinds []string) (sum float64, found string) {
	metric := false
	for n := 0; n == 0 || s.more(); n++ {
		s.skipSpace()
		start, x := s.pos, 1.0
		if s.skip("-") {
			x = -1
		}
		if x < 0 && !slices.Contains(kinds, temperature) {
			s.fail(start, "0 or more", "")
		}
		if s.startsNumber() {
			x *= s.number()
		} else {
			s.fail(s.pos, "a number and "+unitsOf(kinds), "")
		}
		u, name := s.unit(kinds)
		switch si := (x + u.offset) * u.factor; {
		case n > 0 && u.kind != found:
			s.fail(start, "another "+found, fmt.Sprintf("a %s cannot be added to a %s", u.kind, found))
		case n > 0 && found == temperature:
			s.fail(start, "one temperature only", "")
		case n > 0 && u.metric() != metric:
			s.fail(start, "parts of one system of measures", "customary and metric measures do not add up to one")
		case si < 0:
			s.fail(start, fmt.Sprintf("absolute zero, %g %s, or above", 0-u.offset, name), "")
		default:
			sum, found, metric = sum+si, u.kind, u.metric()
		}
	}
	return sum, found
}

// more skips what joins two parts and reports whether another part follows.
func (s *scanner) more() bool {
	s.skipSpace()
	start := s.pos
	joined := s.skip("+") || s.skip(",") || s.skip("&")
	if rest := s.rest(); !joined && len(rest) > 4 && strings.EqualFold(rest[:4], "and ") {
		joined = s.skip(rest[:4])
	}
	s.skipSpace()
	switch {
	case s.startsNumber():
		return true
	case joined:
		s.fail(s.pos, "a number after "+strings.TrimSpace(s.text[start:s.pos]), "")
	case s.pos < len(s.text):
		s.fail(start, "nothing more", "")
	}
	return false
}

var (
	word   = regexp.MustCompile(`^[\pL°"']*`)
	level  = regexp.MustCompile(`^(?i:level)\b *`)
	heaped = regexp.MustCompile(`^(?i:heaped|heaping|rounded|scant)\b`)
)

// unit reads the longest name of a unit; "level" before one changes nothing.
func (s *scanner) unit(kinds []string) (*scale, string) {
	s.skipSpace()
	if slices.Contains(kinds, volume) {
		s.skip(level.FindString(s.rest()))
	}
	first := word.FindString(s.rest())
	if heap := heaped.FindString(first); heap != "" {
		s.fail(s.pos, "a level spoon, or a weight", fmt.Sprintf("a %s spoon has no fixed size", strings.ToLower(heap)))
	}
	m := unitText.FindStringSubmatch(s.rest())
	if m == nil {
		for _, name := range []string{first, strings.TrimSuffix(strings.ToLower(first), "s")} {
			if r, ok := refused[name]; ok {
				s.fail(s.pos, r.want, r.why)
			}
		}
		s.fail(s.pos, suggest(first, kinds), "")
		return &scale{}, ""
	}
	name := strings.Join(strings.Fields(strings.NewReplacer(".", " ", "° ", "°").Replace(m[1]+m[2])), " ")
	u := cmp.Or(byName[name], byName[strings.ToLower(name)])
	if !slices.Contains(kinds, u.kind) {
		s.fail(s.pos, unitsOf(kinds), fmt.Sprintf("%s is a unit of %s%s", name, u.kind, ounces[u.factor]))
	}
	s.skip(m[1] + m[2])
	s.skip(".")
	return u, name
}
