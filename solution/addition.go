package solution

import (
	"fmt"
	"strconv"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// addition is one unit of something that is put into a vessel.
type addition struct {
	name    string
	amounts []float64 // mol per unit, by component of the tables
	grams   float64   // g per unit
	litres  float64   // L by which a unit makes the solution grow
	water   float64   // L of it that are water
	most    float64   // g per litre of vessel beyond which a dose makes no sense
}

// additionOf returns a gram of a reagent as sold: its formula taken apart into components, the free
// base or acid in it, and the volume it takes up. What the tables call the remainder is water, or
// takes as much room as the formula.
func (s *Solution) additionOf(r tables.Reagent) (addition, error) {
	if err := s.made(); err != nil {
		return addition{}, err
	}
	pure := r.Assay.Typical
	if !(pure > 0 && pure <= 1) {
		return addition{}, &chem.InputError{Field: "assay of the reagent " + strconv.Quote(r.Name), Value: fmt.Sprintf("%.4g", pure), Want: "a reagent of the tables, with an assay above 0 to 1"}
	}
	a := addition{name: r.Name, amounts: make([]float64, len(s.amounts)), grams: 1, most: mostPowder}
	if r.Form == tables.Liquid {
		a.most = mostLiquid
	}
	moles := r.MolPerGram().Typical
	for species, n := range r.Components() {
		if species.Equal(water) {
			continue
		}
		i, err := s.component(species.String())
		if err != nil {
			return addition{}, err
		}
		a.amounts[i] += n * moles
	}
	if base := r.ExcessBase.Typical * moles; base != 0 {
		sodium, err := s.component("Na+")
		if err != nil {
			return addition{}, err
		}
		a.amounts[s.setting.Proton] -= base
		a.amounts[sodium] += base
	}
	rest := (1 - pure) * r.ApparentCm3PerGram / 1000
	if r.Remainder.Equal(water.Formula) {
		rest = (1 - pure) / chem.WaterDensity(s.setting.Temperature)
		a.water = rest
	}
	a.litres = pure*r.ApparentCm3PerGram/1000 + rest
	return a, nil
}

var water, _ = chem.ParseSpecies("H2O")

// pour adds n units.
func (s *Solution) pour(a addition, n float64) {
	if n == 0 {
		return
	}
	for i, moles := range a.amounts {
		if moles != 0 {
			s.add(i, n*moles)
		}
	}
	s.volume += n * a.litres
	s.water += n * a.water
	s.state = nil
}
