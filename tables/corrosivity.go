package tables

import (
	"fmt"
	"io/fs"
	"iter"
)

// Corrosivity is a class of surroundings by what bare carbon steel loses in
// the first year (ISO 9223:2012), C1 to C5 and CX, named very low to extreme. Later
// years take less. The losses are at least and at most.
type Corrosivity struct {
	Entry
	Surroundings            string  `json:"surroundings"` // where it is met
	ThinningLowMicrometres  float64 `json:"thinning_low_um"`
	ThinningHighMicrometres float64 `json:"thinning_high_um"`
	LossLowGramsPerM2       float64 `json:"loss_low_g_per_m2"` // of iron
	LossHighGramsPerM2      float64 `json:"loss_high_g_per_m2"`
}

// Rust returns the rust that the loss of the first year makes if all of it
// stays on the steel, g/m². Rain and handling leave less.
func (c Corrosivity) Rust(r Rust) (low, high float64) {
	fraction := r.IronFraction().Typical
	return c.LossLowGramsPerM2 / fraction, c.LossHighGramsPerM2 / fraction
}

// Corrosivity returns the class "C1" ... "C5", "CX".
func (t *Tables) Corrosivity(class string) (Corrosivity, error) {
	return t.corrosivities.find("class of corrosivity", class)
}

// Corrosivities yields the classes from mild to harsh.
func (t *Tables) Corrosivities() iter.Seq[Corrosivity] { return t.corrosivities.all() }

const corrosivityFile = "corrosivity.csv"

func (t *Tables) loadCorrosivities(files []fs.FS) error {
	rows, err := t.read(files, corrosivityFile,
		"id", "name", "surroundings", "loss_low_um", "loss_high_um", "loss_low_g_m2", "loss_high_g_m2", "source")
	if err != nil {
		return err
	}
	var last Corrosivity
	for _, r := range rows.rows {
		c := Corrosivity{
			r.entry(), r.text("surroundings"), r.number("loss_low_um", 0, 1000), r.number("loss_high_um", 0, 1000),
			r.number("loss_low_g_m2", 0, 1e4), r.number("loss_high_g_m2", 0, 1e4),
		}
		r.follows("loss_low_um", last.ThinningHighMicrometres, c.ThinningLowMicrometres, c.ThinningHighMicrometres)
		r.follows("loss_low_g_m2", last.LossHighGramsPerM2, c.LossLowGramsPerM2, c.LossHighGramsPerM2)
		add(r, &t.corrosivities, c)
		last = c
	}
	return rows.err()
}

// follows checks that a class begins where the last one ends.
func (r row) follows(column string, end, low, high float64) {
	if low != end || high <= low {
		r.fail(column, fmt.Sprintf("%g, where the last class ends, and less than its own end", end))
	}
}
