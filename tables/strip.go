package tables

import (
	"errors"
	"fmt"
	"io/fs"
	"iter"
	"math"
)

// Strip is a means to read a bath or a water: a test strip, pH paper, a drop
// kit or a meter. The figures are common practice, without a source.
type Strip struct {
	ID       string
	Name     string
	Synonyms []string
	Quantity string // pH, hardness or alkalinity
	Unit     string // pH, or a unit of hardness
	// Low and High are the ends of the scale, Step the distance of its marks.
	Low, High, Step float64
	// ReadingError is the half width about a reading that holds the truth nine
	// times in ten, rounding to the step included.
	ReadingError float64
	Note         string
	Sources      []string
}

// Marks returns the values that can be read, from Low to High.
func (s Strip) Marks() []float64 {
	marks := make([]float64, s.intervals()+1)
	for i := range marks {
		marks[i] = s.mark(i)
	}
	return marks
}

// intervals is the number of steps on the scale, 0 if it has no step.
func (s Strip) intervals() int {
	if n := math.Round((s.High - s.Low) / s.Step); n > 0 && n < 1e6 {
		return int(n)
	}
	return 0
}

// mark returns the i-th value on the scale, free of the noise of i·Step.
func (s Strip) mark(i int) float64 { return math.Round((s.Low+float64(i)*s.Step)*1e6) / 1e6 }

// Read returns what a perfect eye reads at a true value: the nearest mark, the
// first or last one beyond the ends of the scale. NaN reads NaN.
func (s Strip) Read(truth float64) float64 {
	if i := math.Round((truth - s.Low) / s.Step); i > 0 {
		return s.mark(int(min(i, float64(s.intervals()))))
	}
	if math.IsNaN(truth) {
		return truth
	}
	return s.Low
}

// Interval returns the range that holds the truth nine times in ten once the
// strip has been read. A reading at an end of the scale is open: the truth may
// lie anywhere beyond. The reading may lie between two marks; one off the
// scale, or NaN, is an error that wraps ErrReading.
func (s Strip) Interval(reading float64) (low, high float64, err error) {
	if !(reading >= s.Low && reading <= s.High) {
		return 0, 0, fmt.Errorf("%w: %g on a %s: want %g to %g", ErrReading, reading, s.Name, s.Low, s.High)
	}
	low, high = reading-s.ReadingError, reading+s.ReadingError
	if reading == s.Low {
		low = math.Inf(-1)
	}
	if reading == s.High {
		high = math.Inf(1)
	}
	return low, high, nil
}

// ErrReading is wrapped by the error of a reading that is off the scale.
var ErrReading = errors.New("tables: bad reading")

// Strip returns the strip, kit or meter of that id, name or synonym. The error
// is a *NotFoundError.
func (t *Tables) Strip(name string) (Strip, error) { return t.strips.find(name) }

// Strips yields all strips, kits and meters.
func (t *Tables) Strips() iter.Seq[Strip] { return t.strips.all() }

const stripFile = "strips.csv"

// loadStrips comes after the units of hardness.
func (t *Tables) loadStrips(fsys fs.FS) error {
	rows, err := readCSV(fsys, stripFile,
		"id", "name", "synonyms", "quantity", "unit", "low", "high", "step", "reading_error", "note", "source")
	if err != nil {
		return err
	}
	t.strips.kind = "strip"
	for _, r := range rows.rows {
		s := t.strip(r)
		if taken := t.strips.add(s, s.ID, s.Name, s.Synonyms...); taken != "" {
			r.fail("synonyms", fmt.Sprintf("names that no other strip has; %q is taken", taken))
		}
	}
	return rows.err()
}

func (t *Tables) strip(r row) Strip {
	s := Strip{
		ID: r.text("id"), Name: r.text("name"), Synonyms: r.list("synonyms"),
		Quantity: r.oneOf("quantity", "pH", "hardness", "alkalinity"), Unit: r.text("unit"),
		Note: r.optionalText("note"), Sources: t.sourceKeys(r),
	}
	most := 14.0
	if s.Quantity == "pH" {
		if s.Unit != "pH" {
			r.fail("unit", "pH")
		}
	} else {
		most = 5000
		if _, err := t.HardnessUnit(s.Unit); err != nil {
			r.fail("unit", "a unit of hardness: "+err.Error())
		}
	}
	s.Low, s.High = r.number("low", 0, most), r.number("high", 0, most)
	s.Step = r.number("step", 0.01, most)
	s.ReadingError = r.number("reading_error", s.Step/2, most)
	n := (s.High - s.Low) / s.Step
	if !(n >= 1) || math.Abs(n-math.Round(n)) > 1e-6 {
		r.fail("step", "a step that divides the scale from low to high")
	}
	return s
}
