package tables

import (
	"fmt"
	"io/fs"
	"iter"
)

// Corrosivity is a class of surroundings by what bare carbon steel loses in
// the first year (ISO 9223:2012). Later years take less.
type Corrosivity struct {
	Class        string  // C1 ... C5, CX
	Category     string  // very low ... extreme
	Surroundings string  // where it is met
	ThinningLow  float64 // µm of steel in the first year
	ThinningHigh float64 // the same, at most
	LossLow      float64 // g of iron per m² in the first year
	LossHigh     float64 // the same, at most
	Sources      []string
}

// Rust returns the rust that the loss of the first year makes if all of it
// stays on the steel, g/m². Rain and handling leave less.
func (c Corrosivity) Rust(r Rust) (low, high float64) {
	fraction := r.IronFraction().Typical
	return c.LossLow / fraction, c.LossHigh / fraction
}

// Corrosivity returns the class "C1" ... "C5", "CX". The error is a
// *NotFoundError.
func (t *Tables) Corrosivity(class string) (Corrosivity, error) { return t.corrosivities.find(class) }

// Corrosivities yields the classes from mild to harsh.
func (t *Tables) Corrosivities() iter.Seq[Corrosivity] { return t.corrosivities.all() }

const corrosivityFile = "corrosivity.csv"

func (t *Tables) loadCorrosivities(fsys fs.FS) error {
	rows, err := readCSV(fsys, corrosivityFile,
		"id", "category", "surroundings", "loss_low_um", "loss_high_um", "loss_low_g_m2", "loss_high_g_m2", "source")
	if err != nil {
		return err
	}
	t.corrosivities.kind = "class of corrosivity"
	var last Corrosivity
	for _, r := range rows.rows {
		c := Corrosivity{
			Class: r.text("id"), Category: r.text("category"), Surroundings: r.text("surroundings"),
			ThinningLow: r.number("loss_low_um", 0, 1000), ThinningHigh: r.number("loss_high_um", 0, 1000),
			LossLow: r.number("loss_low_g_m2", 0, 1e4), LossHigh: r.number("loss_high_g_m2", 0, 1e4),
			Sources: t.sourceKeys(r),
		}
		if c.ThinningLow != last.ThinningHigh || c.ThinningHigh <= c.ThinningLow {
			r.fail("loss_low_um", fmt.Sprintf("%g, where the last class ends, and less than its own end", last.ThinningHigh))
		}
		if c.LossLow != last.LossHigh || c.LossHigh <= c.LossLow {
			r.fail("loss_low_g_m2", fmt.Sprintf("%g, where the last class ends, and less than its own end", last.LossHigh))
		}
		if taken := t.corrosivities.add(c, c.Class, c.Class); taken != "" {
			r.fail("id", "a class that occurs once")
		}
		last = c
	}
	return rows.err()
}
