package tables

import (
	"cmp"
	"math"

	"example.com/chelation/chem"
)

// Strip is a means to read a bath or a water: a test strip, pH paper, a drop kit or a meter. The
// figures are common practice, without a source.
type Strip struct {
	Entry
	Quantity     string  `json:"quantity"`      // pH, hardness or alkalinity
	Unit         string  `json:"unit"`          // of all figures: pH, or a unit of hardness
	Low          float64 `json:"low"`           // end of the scale
	High         float64 `json:"high"`          // end of the scale
	Step         float64 `json:"step"`          // distance of its marks
	ReadingError float64 `json:"reading_error"` // half width that holds the truth nine times in ten, rounding included
}

// Marks returns the values that can be read, from Low to High; Low alone where there is no step.
func (s Strip) Marks() []float64 {
	n := math.Round((s.High - s.Low) / s.Step)
	if !(n > 0 && n < mostMarks) {
		n = 0
	}
	marks := make([]float64, int(n)+1)
	for i := range marks {
		marks[i] = s.mark(float64(i))
	}
	return marks
}

// Marks are told apart to a millionth, and no scale has more of them.
const mostMarks = 1e6

// mark returns the i-th value on the scale, free of the noise of i·Step.
func (s Strip) mark(i float64) float64 { return math.Round((s.Low+i*s.Step)*mostMarks) / mostMarks }

// Read returns what a perfect eye reads at a true value: the nearest mark. NaN reads NaN.
func (s Strip) Read(truth float64) float64 {
	return s.mark(math.Round((max(s.Low, min(truth, s.High)) - s.Low) / cmp.Or(s.Step, 1)))
}

// Check refuses a reading off the scale, or NaN. It may lie between two marks.
func (s Strip) Check(reading float64) error {
	return chem.Within("reading of the "+s.Name, reading, s.Low, s.High, "")
}

// Strip returns the strip, kit or meter of that id, name or synonym.
func (t *Tables) Strip(name string) (Strip, error) { return listed[Strip](t).find("strip", name) }

func (r row) strip() Strip {
	s := Strip{Entry: r.entry(), Quantity: oneOf(r, "quantity", "pH", "hardness", "alkalinity"), Unit: r.text("unit")}
	most := 14.0
	if s.Quantity != "pH" {
		most = mostPrinted
		if _, err := Find[HardnessUnit](r.Tables, s.Unit); err != nil {
			r.refuse("unit", "a unit of hardness", err)
		}
	} else if s.Unit != "pH" {
		r.fail("unit", "pH")
	}
	s.Low, s.High = r.number("low", 0, most), r.number("high", 0, most)
	s.Step = r.number("step", 0.01, most)
	s.ReadingError = r.number("reading_error", s.Step/2, most)
	n := (s.High - s.Low) / s.Step
	if !(n >= 1) || math.Abs(n-math.Round(n)) > 1/mostMarks {
		r.fail("step", "a step that divides the scale from low to high")
	}
	return s
}
