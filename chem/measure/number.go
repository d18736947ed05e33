package measure

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// maxDigits bounds the digits of a whole number, a fraction or a decimal part.
const maxDigits = 12

// vulgar maps the single-character fractions to numerator and denominator.
var vulgar = map[rune][2]float64{
	'½': {1, 2}, '⅓': {1, 3}, '⅔': {2, 3}, '¼': {1, 4}, '¾': {3, 4},
	'⅕': {1, 5}, '⅖': {2, 5}, '⅗': {3, 5}, '⅘': {4, 5}, '⅙': {1, 6}, '⅚': {5, 6},
	'⅐': {1, 7}, '⅛': {1, 8}, '⅜': {3, 8}, '⅝': {5, 8}, '⅞': {7, 8}, '⅑': {1, 9}, '⅒': {1, 10},
}

// A scanner reads a measure from left to right.
type scanner struct {
	quantity string
	input    string
	pos, end int
}

func newScanner(quantity, input string) *scanner {
	return &scanner{quantity: quantity, input: input, end: len(input)}
}

// maxLength of a written measure, in bytes.
const maxLength = 200

func (s *scanner) fail(off int, reason string) error {
	in := s.input
	if len(in) > maxLength {
		in = strings.ToValidUTF8(in[:maxLength], "") + "…"
	}
	return &ParseError{Quantity: s.quantity, Input: in, Offset: min(off, len(in)), Reason: reason}
}

func (s *scanner) rest() string { return s.input[s.pos:s.end] }

func (s *scanner) rune() rune {
	if s.pos >= s.end {
		return 0
	}
	r, _ := utf8.DecodeRuneInString(s.rest())
	return r
}

func (s *scanner) skipSpace() {
	for {
		switch r := s.rune(); r {
		case ' ', '\t', '\n', '\r', '\u00a0', '\u202f', '\u2009': // no-break and thin spaces too
			s.pos += utf8.RuneLen(r)
		default:
			return
		}
	}
}

func isDigit(r rune) bool { return r >= '0' && r <= '9' }

func isSlash(r rune) bool { return r == '/' || r == '⁄' || r == '∕' }

// startsNumber reports whether a number stands at the scanner.
func (s *scanner) startsNumber() bool {
	r := s.rune()
	_, v := vulgar[r]
	return isDigit(r) || r == '.' || v
}

// digits reads digits and returns them.
func (s *scanner) digits() string {
	start := s.pos
	for isDigit(s.rune()) {
		s.pos++
	}
	return s.input[start:s.pos]
}

// number reads a whole number, a decimal, a fraction or a mixed number:
// 2, 2.5, .5, 1/2, 1 1/2, 1-1/2, ½, 1½, 1 ½.
func (s *scanner) number() (float64, error) {
	start := s.pos
	if v, ok := vulgar[s.rune()]; ok {
		s.pos += utf8.RuneLen(s.rune())
		return v[0] / v[1], nil
	}
	whole := s.digits()
	switch r := s.rune(); {
	case r == '.':
		s.pos++
		frac := s.digits()
		if whole == "" && frac == "" {
			return 0, s.fail(start, "expected a number")
		}
		if r := s.rune(); isSlash(r) || r == '.' {
			return 0, s.fail(s.pos, "a decimal number cannot be part of a fraction")
		}
		if len(whole) > maxDigits || len(frac) > maxDigits {
			return 0, s.fail(start, "too many digits")
		}
		x, err := strconv.ParseFloat("0"+whole+"."+frac+"0", 64)
		if err != nil {
			return 0, s.fail(start, "expected a number")
		}
		return x, nil
	case whole == "":
		return 0, s.fail(start, "expected a number")
	case r == ',':
		s.pos++
		if isDigit(s.rune()) {
			return 0, s.fail(s.pos-1, "a comma in a number reads two ways: write 1000 or 2.5")
		}
		s.pos--
	}
	n, err := s.whole(start, whole)
	if err != nil {
		return 0, err
	}
	if isSlash(s.rune()) {
		s.pos += utf8.RuneLen(s.rune())
		return s.over(start, n)
	}

	// A fraction may follow: ½, " ½", " 1/2" or "-1/2". A number that is not a
	// fraction belongs to what comes next.
	back := s.pos
	if r := s.rune(); r == '-' || r == '‐' || r == '‑' {
		s.pos += utf8.RuneLen(r)
	} else {
		s.skipSpace()
	}
	if v, ok := vulgar[s.rune()]; ok {
		s.pos += utf8.RuneLen(s.rune())
		return n + v[0]/v[1], nil
	}
	numerator := s.pos
	text := s.digits()
	if text == "" || !isSlash(s.rune()) {
		s.pos = back
		return n, nil
	}
	s.pos += utf8.RuneLen(s.rune())
	top, err := s.whole(numerator, text)
	if err != nil {
		return 0, err
	}
	f, err := s.over(numerator, top)
	if err != nil {
		return 0, err
	}
	if f >= 1 {
		return 0, s.fail(numerator, "the fraction after a whole number must be less than 1")
	}
	return n + f, nil
}

func (s *scanner) whole(off int, text string) (float64, error) {
	if len(text) > maxDigits {
		return 0, s.fail(off, "too many digits")
	}
	n, err := strconv.ParseUint(text, 10, 64)
	if err != nil {
		return 0, s.fail(off, "expected a number")
	}
	return float64(n), nil
}

// over reads the denominator under the given numerator.
func (s *scanner) over(off int, numerator float64) (float64, error) {
	text := s.digits()
	if text == "" {
		return 0, s.fail(s.pos, "expected a whole number under the fraction bar")
	}
	d, err := s.whole(off, text)
	if err != nil {
		return 0, err
	}
	if d == 0 {
		return 0, s.fail(off, "a fraction over zero")
	}
	if isSlash(s.rune()) || s.rune() == '.' && len(s.rest()) > 1 && isDigit(rune(s.rest()[1])) {
		return 0, s.fail(off, "a fraction has two whole numbers, as in 3/4")
	}
	return numerator / d, nil
}
