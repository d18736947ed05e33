package measure

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
)

const (
	spoonTolerance = 0.05  // of what is asked, to save spoonfuls: a level spoon is itself no better than ten per cent
	plainTolerance = 0.005 // of it, from which on they are said to be about so many
	mostLitres     = 1000  // a cubic metre: who fills that does not count spoons
)

// Measures in eighths of a teaspoon, the smallest spoon there is.
const (
	teaspoon   = 8
	tablespoon = 3 * teaspoon
	cup        = 16 * tablespoon
)

// A part is what the smaller measures of a kind hold.
type part struct {
	eighths, fills int
	text           string // number; empty for nothing
}

var (
	cupParts      = []part{{}, {cup / 4, 1, "1/4"}, {cup / 3, 1, "1/3"}, {cup / 2, 1, "1/2"}, {2 * cup / 3, 2, "2/3"}, {3 * cup / 4, 2, "3/4"}}
	teaspoonParts = []part{{}, {1, 1, "1/8"}, {2, 1, "1/4"}, {3, 2, "1/4 + 1/8"}, {4, 1, "1/2"}, {5, 2, "1/2 + 1/8"}, {6, 1, "3/4"}, {7, 2, "3/4 + 1/8"}}
)

// fewest returns the part of a cup with which so many eighths take the fewest fills.
func fewest(eighths int) (best part, fills int) {
	fills = math.MaxInt
	for _, p := range cupParts {
		rest := eighths%cup - p.eighths
		if rest < 0 || rest >= cup/4 {
			continue
		}
		n := eighths/cup + p.fills + rest/tablespoon + rest%tablespoon/teaspoon + teaspoonParts[rest%teaspoon].fills
		if n < fills {
			best, fills = p, n
		}
	}
	return best, fills
}

// closest returns the number of eighths to take for what was asked: of those within the
// tolerance the one with the fewest fills, or else the nearest.
func closest(asked float64) int {
	best, fills := int(math.Ceil(asked-0.5)), math.MaxInt
	off := func(n int) float64 { return math.Abs(float64(n) - asked) }
	low := max(math.Ceil(asked*(1-spoonTolerance)), cup*math.Floor(asked/cup-1))
	high := min(asked*(1+spoonTolerance), asked+cup)
	for n := int(low); float64(n) <= high; n++ {
		if _, f := fewest(n); f < fills || f == fills && off(n) < off(best) {
			best, fills = n, f
		}
	}
	return best
}

// text names the measures, "level" once, in the first.
func text(eighths int) string {
	p, _ := fewest(eighths)
	rest := eighths%cup - p.eighths
	less, least, _ := strings.Cut(teaspoonParts[rest%teaspoon].text, " + ")
	var terms []string
	for _, m := range []struct {
		whole      int
		part, name string
	}{{eighths / cup, p.text, "cup"}, {rest / tablespoon, "", "tablespoon"}, {rest % tablespoon / teaspoon, less, "teaspoon"}, {0, least, "teaspoon"}} {
		number := strings.TrimSpace(strings.TrimPrefix(fmt.Sprintf("%d %s", m.whole, m.part), "0 "))
		if number == "" {
			continue
		}
		if m.whole > 1 || m.whole == 1 && m.part != "" {
			m.name += "s"
		}
		if len(terms) == 0 {
			m.name = "level " + m.name
		}
		terms = append(terms, number+" "+m.name)
	}
	return strings.Join(terms, " + ")
}

// Spoons returns v in level US spoons and cups that exist: 1/8, 1/4, 1/2, 3/4 and 1
// teaspoon, 1 tablespoon, 1/4, 1/3, 1/2 and 1 cup. With one part of a cup at most it takes
// the fewest fills within 5 % of v, or else the closest, which is within 1/16 teaspoon. The
// text says "about" when they differ by more than 0.5 %. Less than 1/8 teaspoon is a pinch and
// holds 0. A volume that is negative or above one cubic metre is an error.
func Spoons(v unit.Volume) (names string, holds unit.Volume, err error) {
	if err := chem.Within("volume in spoons", float64(v/Litre), 0, mostLitres, "L"); err != nil {
		return "", 0, err
	}
	asked := float64(v / (Teaspoon / teaspoon))
	switch {
	case asked == 0:
		return "none", 0, nil
	case asked < 1-spoonTolerance:
		return "a pinch (less than 1/8 teaspoon)", 0, nil
	}
	eighths := closest(asked)
	names = text(eighths)
	if math.Abs(float64(eighths)-asked) > plainTolerance*asked {
		names = "about " + names
	}
	return names, unit.Volume(eighths) * Teaspoon / teaspoon, nil
}
