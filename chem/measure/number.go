package measure

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"example.com/chelation/chem"
)

// maxLength of a written measure, in bytes.
const maxLength = 200

// A scanner reads a measure up to the first complaint, which it keeps: then it stands at the end.
type scanner struct {
	quantity string
	written  string
	text     string // as written, in plain signs
	pos      int    // in text
	err      error
}

// plain replaces signs that mean the same.
var plain = strings.NewReplacer("μ", "µ", "″", `"`, "”", `"`, "′", "'", "’", "'", "℃", "°C", "℉", "°F", "²", "2", "³", "3", "^2", "2", "^3", "3",
	"⁄", "/", "∕", "/", "−", "-", "‐", "-", "‑", "-", "\u00a0", " ", "\u202f", " ", "\u2009", " ", "\t", " ", "\n", " ", "\r", " ")

func newScanner(quantity, written string) *scanner {
	s := &scanner{quantity: quantity, written: written}
	if len(written) > maxLength {
		s.fail(0, fmt.Sprintf("at most %d bytes", maxLength), "")
		return s
	}
	s.text = plain.Replace(written)
	return s
}

// fail says what was wanted at a place, and why if that is not plain.
func (s *scanner) fail(at int, want, why string) {
	s.pos = len(s.text)
	if s.err != nil {
		return
	}
	if rest := strings.TrimSpace(s.text[at:]); at > 0 && rest == "" {
		want += " at the end"
	} else if at > 0 {
		want += " at " + chem.Echo(rest)
	}
	var reason error
	if why != "" {
		reason = errors.New(why)
	}
	s.err = &chem.InputError{Field: s.quantity, Value: chem.Echo(s.written), Want: want, Err: reason}
}

func (s *scanner) rest() string { return s.text[s.pos:] }

// skip passes a text if it stands here.
func (s *scanner) skip(text string) bool {
	found := strings.HasPrefix(s.rest(), text)
	if found {
		s.pos += len(text)
	}
	return found
}

func (s *scanner) skipSpace() {
	for s.skip(" ") {
	}
}

// vulgar maps the single-character fractions to their values.
var vulgar = map[string]float64{
	"½": 1. / 2, "⅓": 1. / 3, "⅔": 2. / 3, "¼": 1. / 4, "¾": 3. / 4,
	"⅕": 1. / 5, "⅖": 2. / 5, "⅗": 3. / 5, "⅘": 4. / 5, "⅙": 1. / 6, "⅚": 5. / 6,
	"⅐": 1. / 7, "⅛": 1. / 8, "⅜": 3. / 8, "⅝": 5. / 8, "⅞": 7. / 8, "⅑": 1. / 9, "⅒": 1. / 10,
}

// Numbers as a shop writes them: 1/2, 1 1/2, 1-1/2, ½, 1½, 1 ½; 2, 2.5, .5.
var (
	fraction    = regexp.MustCompile(`^(?:(\d+)(?:-| *))??(?:(\d+)/(\d+)|([¼-¾⅐-⅞]))`)
	decimal     = regexp.MustCompile(`^(?:\d+\.?\d*|\.\d+)`)
	startNumber = regexp.MustCompile(`^[\d.¼-¾⅐-⅞]`)
	runsOn      = regexp.MustCompile(`^(?:/|[.,]\d)`)
)

func (s *scanner) startsNumber() bool { return startNumber.MatchString(s.rest()) }

// number reads a whole number, a decimal, a fraction or a mixed number.
func (s *scanner) number() float64 {
	start, x := s.pos, 0.0
	if m := fraction.FindStringSubmatch(s.rest()); m != nil {
		x = vulgar[m[4]]
		if m[4] == "" {
			x = value(m[2]) / value(m[3])
		}
		switch {
		case m[4] == "" && value(m[3]) == 0:
			s.fail(start, "a fraction that is not over zero", "")
		case m[1] != "" && x >= 1:
			s.fail(start, "a fraction below 1 after a whole number", "")
		}
		x += value(m[1])
		s.skip(m[0])
	} else if d := decimal.FindString(s.rest()); d != "" {
		x = value(d)
		s.skip(d)
	} else {
		s.fail(start, "a number", "")
	}
	if next := runsOn.FindString(s.rest()); strings.HasPrefix(next, ",") {
		s.fail(s.pos, "1000 or 2.5, without a comma", "a comma in a number reads two ways")
	} else if next != "" {
		s.fail(s.pos, "one decimal point, or two whole numbers in a fraction as in 3/4", "")
	}
	return x
}

// value returns the number that is written, 0 if there is none.
func value(text string) float64 {
	x, _ := strconv.ParseFloat(text, 64)
	return x
}
