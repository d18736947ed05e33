package tables

import (
	"cmp"
	"math"
	"strings"
)

// Admission is what a material of a part may do in a bath of chelant.
type Admission string

// The admissions, from the loosest to the strictest, which is the order of their letters too.
const (
	GoesIn   Admission = "goes in"
	Watched  Admission = "goes in while watched"
	StaysOut Admission = "stays out"
)

// Material is a metal, a coating or a kind of part by the name that people use.
type Material struct {
	Entry
	Groups    []string  `json:"groups,omitempty"` // those of [Hazard] that it counts as: galvanised steel is zinc
	Couple    string    `json:"couple,omitempty"` // the metal that can dissolve, by the ID of a [Couple]; empty for what is none
	Admission Admission `json:"admission"`
	LowPH     float64   `json:"low_ph,omitempty"`  // from where the admission holds; below, it stays out
	HighPH    float64   `json:"high_ph,omitempty"` // up to where; both are zero where no range is known
	Is        string    `json:"is"`                // what people call so
	Does      string    `json:"does"`              // what the bath does to it
	Do        string    `json:"do"`                // what to do about it
}

// Admits returns the admission to a bath of a pH, to a tenth as it is told.
func (m Material) Admits(pH float64) Admission {
	if pH = math.Round(10*pH) / 10; m.HighPH > 0 && !(pH >= m.LowPH && pH <= m.HighPH) {
		return StaysOut
	}
	return m.Admission
}

// Material returns the material of that id, name or synonym, also in the plural. Where none has the
// whole name it is the strictest that a word of it names: a galvanised bolt is galvanised.
func (t *Tables) Material(name string) (Material, error) {
	all := listed[Material](t)
	m, err := all.find("material", name)
	if err == nil {
		return m, nil
	}
	for _, word := range append([]string{name}, strings.Fields(name)...) {
		for _, one := range []string{word, strings.TrimSuffix(word, "s"), strings.TrimSuffix(word, "es")} {
			if i, known := all.at[plain(one)]; known && (err != nil || all.items[i].stricter(m)) {
				m, err = Copy(all.items[i]), nil
			}
		}
	}
	return m, err
}

func (m Material) stricter(than Material) bool {
	return cmp.Or(cmp.Compare(m.Admission, than.Admission), cmp.Compare(m.LowPH, than.LowPH)) > 0
}

func (r row) material() Material {
	m := Material{
		Entry: r.entry(), Groups: r.list("groups"), Couple: r.optionalText("couple"),
		Admission: oneOf(r, "admission", GoesIn, Watched, StaysOut), Is: r.text("is"), Does: r.text("does"), Do: r.text("do"),
	}
	if r.optionalText("low_ph")+r.optionalText("high_ph") != "" {
		m.LowPH = r.number("low_ph", 0, 14)
		m.HighPH = r.number("high_ph", m.LowPH, 14)
	}
	if m.Couple != "" && !listed[Couple](r.Tables).has(m.Couple) {
		r.fail("couple", "a metal of couples.csv")
	}
	return m
}
