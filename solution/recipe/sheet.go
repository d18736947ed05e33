package recipe

import (
	"math"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

// What a sheet holds and loses, L/m² and L/(m² h): terry or a folded bed sheet takes up
// two to four times its own mass of 200 to 500 g/m²; water leaves it as from an open
// pan in a room. Common practice, no source; weigh a wet one of your own.
var (
	clothHolds = tables.Range{Low: 0.6, Typical: 1, High: 1.5}
	clothDries = tables.Range{Low: 0.05, Typical: 0.1, High: 0.25}
)

// driest is the part of the water that may leave before the cloth is wetted again: judgement.
const driest = 0.3

// Sheet is a cloth wetted with bath on a panel that fits no tub.
type Sheet struct {
	BathLitres    tables.Range `json:"bath_l"`         // that the cloth holds
	RustGrams     tables.Range `json:"rust_g"`         // that one filling takes
	Rounds        tables.Range `json:"rounds"`         // fillings for the layer
	WetHours      tables.Range `json:"wet_hours"`      // until an uncovered cloth has lost three tenths of its water
	Concentration float64      `json:"times_stronger"` // of the bath in it by then
}

// Wet tells what a cloth wetted with a bath does on an area of a layer of rust of an oxide at a
// held pH. Under film it stays wet for days, and its bath is spent before it is dry.
func Wet(b *bath.Bath, o bath.Oxide, pH float64, l rust.Layer, area unit.Area) (Sheet, error) {
	if err := chem.Within("area of the cloth", float64(area), 1e-3, 1e3, "m²"); err != nil {
		return Sheet{}, err
	}
	c, err := b.Capacities(o, pH)
	if err != nil {
		return Sheet{}, err
	}
	perLitre := c.Practical.RustGrams / b.Litres()
	s := Sheet{
		BathLitres: clothHolds.Times(float64(area)), RustGrams: clothHolds.Times(perLitre * float64(area)),
		WetHours: over(clothHolds, clothDries).Times(driest), Concentration: 1 / (1 - driest),
	}
	if perLitre > 0 {
		n := over(l.RustGramsPerM2, clothHolds.Times(perLitre))
		s.Rounds = tables.Range{Low: math.Ceil(n.Low), Typical: math.Ceil(n.Typical), High: math.Ceil(n.High)}
	}
	return s, nil
}

// over divides one range by another.
func over(a, b tables.Range) tables.Range {
	return tables.Range{Low: a.Low / b.High, Typical: a.Typical / b.Typical, High: a.High / b.Low}
}

// Half returns the bath for a part that lies half under by an overlap and is turned over when the
// first half is clean.
func (t Tub) Half(p Part, overlap unit.Length) (Fill, error) {
	if err := chem.Within("height of the part", float64(p.Height), 1e-3, 20, "m"); err != nil {
		return Fill{}, err
	}
	under := min(p.Height, p.Height/2+overlap)
	return t.Cover(Part{under, p.Volume * unit.Volume(under/p.Height)}, 0)
}
