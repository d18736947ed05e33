package tables

import "fmt"

// Corrosivity is a class of surroundings by what bare carbon steel loses in the first year, at
// least and at most (ISO 9223:2012), C1 to C5 and CX, named very low to extreme. Later years take
// less.
type Corrosivity struct {
	Entry
	Surroundings            string  `json:"surroundings"` // where it is met
	ThinningLowMicrometres  float64 `json:"thinning_low_um"`
	ThinningHighMicrometres float64 `json:"thinning_high_um"`
	LossLowGramsPerM2       float64 `json:"loss_low_g_per_m2"` // of iron
	LossHighGramsPerM2      float64 `json:"loss_high_g_per_m2"`
}

// Corrosivity returns the class "C1" ... "C5", "CX".
func (t *Tables) Corrosivity(class string) (Corrosivity, error) {
	return listed[Corrosivity](t).find("class of corrosivity", class)
}

// corrosivity reads a class, which begins where the last one ends.
func (r row) corrosivity() Corrosivity {
	c := Corrosivity{
		r.entry(), r.text("surroundings"), r.number("loss_low_um", 0, 1000), r.number("loss_high_um", 0, 1000),
		r.number("loss_low_g_m2", 0, 1e4), r.number("loss_high_g_m2", 0, 1e4),
	}
	var last Corrosivity
	for last = range All[Corrosivity](r.Tables) {
	}
	follows := func(column string, end, low, high float64) {
		if low != end || high <= low {
			r.fail(column, fmt.Sprintf("%g, where the last class ends, and less than its own end", end))
		}
	}
	follows("loss_low_um", last.ThinningHighMicrometres, c.ThinningLowMicrometres, c.ThinningHighMicrometres)
	follows("loss_low_g_m2", last.LossHighGramsPerM2, c.LossLowGramsPerM2, c.LossHighGramsPerM2)
	return c
}
