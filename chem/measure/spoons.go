package measure

import (
	"fmt"
	"math"
	"strings"

	"gonum.org/v1/gonum/unit"
)

// A Measured volume is one that spoons and cups can measure, near one that was
// asked for.
type Measured struct {
	Text   string      // "about 2 level teaspoons"
	Volume unit.Volume // what the spoons hold; 0 for a pinch
	Error  float64     // Volume/asked − 1; −1 for a pinch, which no spoon measures
}

// String returns Text.
func (m Measured) String() string { return m.Text }

// spoonTolerance is the relative error that Spoons accepts to save spoonfuls.
// A level spoon of powder is itself no better than about ten per cent.
const spoonTolerance = 0.05

// A part is a number of fills of one kind of measure.
type part struct {
	size  float64 // m³ in all
	fills int
	text  string // number; empty for nothing
}

var (
	cupParts = []part{{}, {cup / 4.0, 1, "1/4"}, {cup / 3.0, 1, "1/3"}, {cup / 2.0, 1, "1/2"},
		{2 * cup / 3.0, 2, "2/3"}, {3 * cup / 4.0, 2, "3/4"}}
	teaspoonParts = []part{{}, {teaspoon / 8, 1, "1/8"}, {teaspoon / 4, 1, "1/4"}, {3 * teaspoon / 8, 2, "1/4 + 1/8"},
		{teaspoon / 2, 1, "1/2"}, {5 * teaspoon / 8, 2, "1/2 + 1/8"}, {3 * teaspoon / 4, 1, "3/4"}, {7 * teaspoon / 8, 2, "3/4 + 1/8"}}
)

// Spoons returns v in level US spoons and cups that exist: 1/8, 1/4, 1/2, 3/4
// and 1 teaspoon, 1 tablespoon, 1/4, 1/3, 1/2 and 1 cup. It takes the fewest
// fills that come within 5 % of v, or else the closest, which is within 1/16
// teaspoon. The text says "about" when the difference exceeds 0.5 %. Less than
// 1/8 teaspoon (beyond that tolerance) is "a pinch (less than 1/8 teaspoon)",
// which no spoon measures.
//
// A volume that is negative, not finite or above one cubic metre is an error.
func Spoons(v unit.Volume) (Measured, error) {
	asked := float64(v)
	switch {
	case !(asked >= 0 && asked <= 1):
		return Measured{}, fmt.Errorf("%w: %g m³ in spoons: expected a volume from 0 to 1 m³", ErrMeasure, asked)
	case asked == 0:
		return Measured{Text: "none"}, nil
	case asked < teaspoon/8*(1-spoonTolerance):
		return Measured{Text: "a pinch (less than 1/8 teaspoon)", Error: -1}, nil
	}

	type choice struct {
		cups, tablespoons, teaspoons int
		cupPart, teaspoonPart        part
		size                         float64
		fills                        int
	}
	var best choice
	off := func(c choice) float64 { return math.Abs(c.size/asked - 1) }
	better := func(c choice) bool {
		if best.fills == 0 {
			return true
		}
		a, b := off(c), off(best)
		if (a <= spoonTolerance) != (b <= spoonTolerance) {
			return a <= spoonTolerance
		}
		if a <= spoonTolerance && c.fills != best.fills {
			return c.fills < best.fills
		}
		return a < b-1e-12
	}
	whole := int(asked / cup)
	for cups := max(0, whole-1); cups <= whole+1; cups++ {
		for _, cp := range cupParts {
			for tablespoons := range 4 {
				for teaspoons := range 3 {
					for _, tp := range teaspoonParts {
						c := choice{cups, tablespoons, teaspoons, cp, tp,
							float64(cups)*cup + cp.size + float64(tablespoons)*tablespoon + float64(teaspoons)*teaspoon + tp.size,
							cups + cp.fills + tablespoons + teaspoons + tp.fills}
						if c.fills > 0 && better(c) {
							best = c
						}
					}
				}
			}
		}
	}

	var texts []string
	add := func(whole int, p part, name string) {
		number, extra, _ := strings.Cut(p.text, " + ") // "1/4 + 1/8"
		switch {
		case whole > 0 && number != "":
			number = fmt.Sprintf("%d %s", whole, number)
		case whole > 0:
			number = fmt.Sprint(whole)
		}
		if number == "" {
			return
		}
		if whole > 1 || whole == 1 && p.size > 0 {
			texts = append(texts, number+" "+name+"s")
		} else {
			texts = append(texts, number+" "+name)
		}
		if extra != "" {
			texts = append(texts, extra+" "+name)
		}
	}
	add(best.cups, best.cupPart, "cup")
	add(best.tablespoons, part{}, "tablespoon")
	add(best.teaspoons, best.teaspoonPart, "teaspoon")

	// "level" goes once, before the first name.
	at := strings.LastIndexByte(texts[0], ' ')
	texts[0] = texts[0][:at] + " level" + texts[0][at:]
	m := Measured{Text: strings.Join(texts, " + "), Volume: unit.Volume(best.size), Error: best.size/asked - 1}
	if math.Abs(m.Error) > 0.005 {
		m.Text = "about " + m.Text
	}
	return m, nil
}
