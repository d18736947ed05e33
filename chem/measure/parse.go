package measure

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"gonum.org/v1/gonum/unit"
)

// ParseMass reads a mass such as "30 g", "2.5 lb" or "1 lb 4 oz". The ounce is
// the avoirdupois ounce; fl oz, a volume, is refused.
//
// Like all parsers of this package it takes numbers as a shop writes them
// ("1 1/2", "1½", "3/4", "2.5"), adds parts of the same quantity ("1 lb 4 oz",
// "1 tbsp + 1/2 tsp"), and refuses negative and bare numbers and doubtful
// units. Every error is a *ParseError and wraps ErrMeasure.
func ParseMass(s string) (unit.Mass, error) {
	x, _, err := parse(s, mass)
	return unit.Mass(x), err
}

// ParseVolume reads a volume such as "2 tbsp", "12 fl oz", "5 gal" or "20 L".
// Spoons, cups, pints, quarts and gallons are US measures unless "metric" or
// "imperial" stands before them. "level" before a unit is allowed and changes
// nothing; heaped spoons are refused, since they have no fixed size.
func ParseVolume(s string) (unit.Volume, error) {
	x, _, err := parse(s, volume)
	return unit.Volume(x), err
}

// ParseTemperature reads a temperature such as "70 °F", "70F", "-5 °C" or
// "293.15 K". Temperatures below absolute zero are refused.
func ParseTemperature(s string) (unit.Temperature, error) {
	x, _, err := parse(s, temperature)
	return unit.Temperature(x), err
}

// ParseLength reads a length such as "3/4 in", "5 ft 3 1/2 in", "2 mil" or
// "50 µm".
func ParseLength(s string) (unit.Length, error) {
	x, _, err := parse(s, length)
	return unit.Length(x), err
}

// ParseArea reads an area such as "2 ft²", "30 sq in" or "400 cm2".
func ParseArea(s string) (unit.Area, error) {
	x, _, err := parse(s, area)
	return unit.Area(x), err
}

// ParseTime reads a time such as "45 min", "2 h 30 min" or "1 week".
func ParseTime(s string) (unit.Time, error) {
	x, _, err := parse(s, duration)
	return unit.Time(x), err
}

// parse reads a measure of one of the kinds and returns it in SI.
func parse(input string, kinds ...kind) (float64, kind, error) {
	return newScanner(quantityName(kinds), input).measure(kinds, false)
}

func quantityName(kinds []kind) string {
	var names []string
	for _, k := range kinds {
		names = append(names, k.String())
	}
	return strings.Join(names, " or ")
}

// measure reads the whole of the scanner. With one set, a unit without a
// number stands for one of it.
func (s *scanner) measure(kinds []kind, one bool) (float64, kind, error) {
	if len(s.input) > maxLength {
		return 0, 0, s.fail(0, fmt.Sprintf("longer than %d bytes", maxLength))
	}
	sum, found := 0.0, kind(0)
	for n := 0; ; n++ {
		s.skipSpace()
		start := s.pos
		minus, err := s.minus(kinds)
		if err != nil {
			return 0, 0, err
		}
		x := 1.0
		if !one || s.startsNumber() {
			if !s.startsNumber() {
				return 0, 0, s.fail(s.pos, "expected a number and a unit of "+unitsOf(kinds))
			}
			if x, err = s.number(); err != nil {
				return 0, 0, err
			}
		}
		sc, name, err := s.unit(kinds)
		if err != nil {
			return 0, 0, err
		}
		if n > 0 {
			if sc.kind != found {
				return 0, 0, s.fail(start, fmt.Sprintf("a %s cannot be added to a %s", sc.kind, found))
			}
			if found == temperature {
				return 0, 0, s.fail(start, "temperatures cannot be added")
			}
		}
		found = sc.kind
		if minus {
			x = -x
		}
		si := (x + sc.offset) * sc.factor
		if si < 0 {
			return 0, 0, s.fail(start, fmt.Sprintf("%g %s is below absolute zero", x, name))
		}
		sum += si
		more, err := s.more()
		if err != nil {
			return 0, 0, err
		}
		if !more {
			return sum, found, nil
		}
	}
}

// minus reads a sign, which only a temperature has.
func (s *scanner) minus(kinds []kind) (bool, error) {
	r := s.rune()
	if r != '-' && r != '−' {
		return false, nil
	}
	if !slices.Contains(kinds, temperature) {
		return false, s.fail(s.pos, fmt.Sprintf("a %s is not negative", s.quantity))
	}
	s.pos += utf8.RuneLen(r)
	return true, nil
}

// more skips what joins two parts and reports whether another part follows.
func (s *scanner) more() (bool, error) {
	s.skipSpace()
	if s.pos == s.end {
		return false, nil
	}
	start := s.pos
	joined := false
	switch r := s.rune(); {
	case r == '+' || r == ',' || r == '&':
		s.pos++
		joined = true
	case strings.HasPrefix(strings.ToLower(s.rest()), "and "):
		s.pos += len("and ")
		joined = true
	}
	s.skipSpace()
	if s.startsNumber() {
		return true, nil
	}
	if joined {
		return false, s.fail(s.pos, fmt.Sprintf("expected a number after %q", strings.TrimSpace(s.input[start:s.pos])))
	}
	return false, s.fail(start, fmt.Sprintf("unexpected %q", abridge(s.rest())))
}

func abridge(text string) string {
	if r := []rune(text); len(r) > 20 {
		return string(r[:20]) + "…"
	}
	return text
}

// unit reads the longest name of a unit, of up to three words.
func (s *scanner) unit(kinds []kind) (*scale, string, error) {
	s.skipSpace()
	start := s.pos
	var words []string
	var ends []int
	for len(words) < 4 {
		w := s.word()
		if w == "" {
			break
		}
		switch strings.ToLower(w) {
		case "level":
			if len(words) == 0 && slices.Contains(kinds, volume) {
				s.skipSpace()
				start = s.pos
				continue
			}
		case "heaped", "heaping", "rounded", "scant":
			return nil, "", s.fail(start, fmt.Sprintf("a %s spoon has no fixed size: measure level, or weigh", strings.ToLower(w)))
		}
		words = append(words, w)
		ends = append(ends, s.pos)
		s.skipSpace()
	}
	if len(words) == 0 {
		if s.pos == s.end {
			return nil, "", s.fail(s.pos, "a unit is missing; understood are "+unitsOf(kinds))
		}
		return nil, "", s.fail(s.pos, fmt.Sprintf("unexpected %q where a unit should be; understood are %s", abridge(s.rest()), unitsOf(kinds)))
	}
	for n := len(words); n > 0; n-- {
		name := strings.Replace(strings.Join(words[:n], " "), "° ", "°", 1)
		sc := lookup(name)
		if sc == nil {
			continue
		}
		s.pos = ends[n-1]
		if slices.Contains(kinds, sc.kind) {
			return sc, name, nil
		}
		reason := fmt.Sprintf("%s is a unit of %s; expected %s", name, sc.kind, unitsOf(kinds))
		if sc.factor == ounce && sc.kind == mass {
			reason += "; the fluid ounce is written fl oz"
		}
		if sc.factor == fluidOunce && sc.kind == volume {
			reason += "; the ounce of mass is written oz"
		}
		return nil, "", s.fail(start, reason)
	}
	name := words[0]
	for _, n := range []string{name, strings.ToLower(name)} {
		if reason, ok := refused[n]; ok {
			return nil, "", s.fail(start, reason)
		}
	}
	return nil, "", s.fail(start, fmt.Sprintf("unknown unit %q%s", abridge(name), suggest(name, kinds)))
}

// word reads letters and signs of units, with an exponent if one is attached:
// "fl", "°F", "cm2", "in²". A full stop after an abbreviation is skipped.
func (s *scanner) word() string {
	var b strings.Builder
	for s.pos < s.end {
		r, size := utf8.DecodeRuneInString(s.rest())
		switch {
		case r == 'μ': // Greek mu for the micro sign
			r = 'µ'
		case r == '″' || r == '”':
			r = '"'
		case r == '′' || r == '’':
			r = '\''
		}
		if !unicode.IsLetter(r) && !strings.ContainsRune(`°µ"'℃℉`, r) {
			break
		}
		b.WriteRune(r)
		s.pos += size
	}
	if b.Len() == 0 {
		return ""
	}
	b.WriteString(s.exponent())
	if s.rune() == '.' {
		s.pos++
	}
	return b.String()
}

// exponent reads 2 or 3 as in cm2, cm^2, cm². A plain digit that runs on into
// letters or digits begins a number: 5ft3in.
func (s *scanner) exponent() string {
	rest := s.rest()
	for _, e := range []struct{ text, digit string }{{"²", "2"}, {"³", "3"}, {"^2", "2"}, {"^3", "3"}, {"2", "2"}, {"3", "3"}} {
		if !strings.HasPrefix(rest, e.text) {
			continue
		}
		after, _ := utf8.DecodeRuneInString(rest[len(e.text):])
		_, fraction := vulgar[after]
		if e.text == e.digit && (fraction || isDigit(after) || isSlash(after) || after == '.' || unicode.IsLetter(after) || strings.ContainsRune(`"'″′`, after)) {
			return ""
		}
		s.pos += len(e.text)
		return e.digit
	}
	return ""
}
