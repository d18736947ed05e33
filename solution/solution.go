package solution

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// Solution is a vessel: what is in it, how warm it is, and whether it stands
// open to the air. It is not safe for concurrent use; [Solution.Clone] gives
// each goroutine its own.
//
// Contents are kept as moles of components (the hydrogen ion, bare metal ions,
// ligands without their protons), which are conserved whatever reacts. Water
// is the medium and is not counted.
//
// # Volume
//
// The volume is that of the water plus, for each thing dissolved, its mass
// times the apparent volume in the tables (a liquid: its volume as poured).
// Apparent volumes are those of dilute solutions and are known to about
// 0.05 cm³/g, so that the volume of a bath of 50 g/L is right within 0.3 %, and
// one of 200 g/L within 1.5 %; contraction when a concentrated liquid is mixed
// in adds up to 1 %. [Solution.VolumeTolerance] sums this up.
type Solution struct {
	tables      *tables.Tables
	index       map[string]int // of components, by canonical formula; shared, never changed
	temperature unit.Temperature
	volume      float64                  // L
	tolerance   float64                  // L
	amounts     []float64                // mol, by component of the tables
	co2         float64                  // pressure of CO2 over the vessel in atm, 0 when closed
	allowed     []string                 // solids that may form beyond those that do by default, sorted
	barred      []string                 // solids that may not form, sorted
	constants   map[string]chem.Constant // the caller's, by species; see SetConstant
	ideal       bool                     // activity coefficients are one
	holdPH      bool                     // by a buffer, at heldPH
	heldPH      float64
	model       *model // compiled for the present components, or nil
}

// AirCO2 is the pressure of carbon dioxide in outdoor air in atm, 425 ppm by
// volume (NOAA global monthly means of 2024, from memory); indoors it is often
// twice that.
const AirCO2 = 425e-6

// New returns an empty vessel at a temperature from 0 to 100 °C.
func New(t *tables.Tables, temperature unit.Temperature) (*Solution, error) {
	s := &Solution{tables: t, index: map[string]int{}}
	for i, c := range t.Components() {
		s.index[c.Species.String()] = i
	}
	s.amounts = make([]float64, len(s.index))
	if err := s.SetTemperature(temperature); err != nil {
		return nil, err
	}
	return s, nil
}

// Clone returns an independent copy.
func (s *Solution) Clone() *Solution {
	c := *s
	c.amounts = slices.Clone(s.amounts)
	c.allowed = slices.Clone(s.allowed)
	c.barred = slices.Clone(s.barred)
	if s.model != nil {
		c.model = s.model.clone()
	}
	return &c
}

// SetTemperature warms or cools the vessel; its volume follows the density of
// water.
func (s *Solution) SetTemperature(t unit.Temperature) error {
	if !(t >= 273.15 && t <= 373.15) {
		return &chem.InputError{Field: "temperature", Value: fmt.Sprintf("%.6g °C", float64(t)-273.15), Want: "0 to 100 °C"}
	}
	if s.temperature != 0 {
		s.volume *= chem.WaterDensity(s.temperature) / chem.WaterDensity(t)
	}
	s.temperature = t
	s.model = nil
	return nil
}

// Temperature returns the temperature.
func (s *Solution) Temperature() unit.Temperature { return s.temperature }

// Volume returns the volume of the solution.
func (s *Solution) Volume() unit.Volume { return unit.Volume(s.volume / 1000) }

// VolumeTolerance returns the standard uncertainty of the volume that comes
// from apparent volumes, not from measuring.
func (s *Solution) VolumeTolerance() unit.Volume { return unit.Volume(s.tolerance / 1000) }

// Amount returns how much of a component the vessel holds in all its forms,
// solids included. The amount of H⁺ is that in excess of water and of bare
// ligands; it may be negative.
func (s *Solution) Amount(component string) (unit.Mole, error) {
	i, err := s.component(component)
	if err != nil {
		return 0, err
	}
	return unit.Mole(s.amounts[i]), nil
}

func (s *Solution) component(name string) (int, error) {
	if i, ok := s.index[name]; ok {
		return i, nil
	}
	c, err := s.tables.Component(name)
	if err != nil {
		return 0, err
	}
	return s.index[c.Species.String()], nil
}

// AddPureWater adds water that holds nothing, not even carbon dioxide.
func (s *Solution) AddPureWater(v unit.Volume) error {
	if err := positive("volume of water", float64(v)*1000, "L"); err != nil {
		return err
	}
	s.volume += float64(v) * 1000
	return nil
}

// AddWater adds water with what is dissolved in it. Its carbonate is what its
// alkalinity and pH together ask for; a water whose pH cannot be had with
// carbonate alone is refused with an [*UnreachableError]. A water without a
// pH (0) gets no free carbonic acid: all its alkalinity is bicarbonate.
func (s *Solution) AddWater(w tables.Water, v unit.Volume) error {
	if err := positive("volume of water", float64(v)*1000, "L"); err != nil {
		return err
	}
	litre, err := s.litreOf(w)
	if err != nil {
		return err
	}
	for i, n := range litre {
		if n != 0 {
			s.add(i, n*float64(v)*1000)
		}
	}
	s.volume += float64(v) * 1000
	return nil
}

// litreOf returns the moles of each component in a litre of a water.
func (s *Solution) litreOf(w tables.Water) ([]float64, error) {
	one := &Solution{tables: s.tables, index: s.index, temperature: chem.ReferenceTemperature, volume: 1, amounts: make([]float64, len(s.amounts))}
	for _, ion := range w.Ions {
		if err := positive(fmt.Sprintf("%s of the water", ion.Species), ion.MolPerLitre, "mol/L"); err != nil {
			return nil, err
		}
		i, err := s.component(ion.Species.String())
		if err != nil {
			return nil, err
		}
		one.amounts[i] += ion.MolPerLitre
	}
	h, err := s.component("H+")
	if err != nil {
		return nil, err
	}
	c, err := s.component("CO3^2-")
	if err != nil {
		return nil, err
	}
	alkalinity := float64(w.Alkalinity)
	switch {
	case !(math.Abs(alkalinity) <= 10):
		return nil, &chem.InputError{Field: "alkalinity of the water", Value: fmt.Sprintf("%g mol/L", alkalinity), Want: "-10 to 10 mol/L"}
	case w.PH == 0 && alkalinity < 0:
		return nil, &chem.InputError{Field: "pH of the water", Value: "not given", Want: "a pH, as its alkalinity is negative"}
	}
	if w.PH == 0 {
		one.amounts[c], one.amounts[h] = alkalinity, alkalinity
		return one.amounts, nil
	}
	one.amounts[h] = -alkalinity
	d, err := one.dose(addition{name: "carbonic acid", amounts: []part{{h, 2}, {c, 1}}, grams: 62.024, most: mostPowder}, PH(w.PH))
	if err != nil {
		return nil, err
	}
	one.amounts[h] += 2 * d
	one.amounts[c] += d
	return one.amounts, nil
}

func (s *Solution) add(component int, n float64) {
	s.amounts[component] += n
	s.forget(component)
}

// forget drops the model if it has no place for a component.
func (s *Solution) forget(component int) {
	if s.model == nil {
		return
	}
	if _, known := s.model.place[component]; !known {
		s.model = nil
	}
}

// joined returns a clone with a model that has places for more components.
func (s *Solution) joined(components ...int) (*Solution, error) {
	work := s.Clone()
	var fresh []int
	for _, c := range components {
		if work.amounts[c] == 0 {
			fresh = append(fresh, c)
			work.add(c, math.SmallestNonzeroFloat64)
		}
	}
	_, err := work.compiled()
	for _, c := range fresh {
		work.amounts[c] = 0
	}
	return work, err
}

// Add adds a mass of a reagent as it is sold, at its typical assay.
func (s *Solution) Add(r tables.Reagent, m unit.Mass) error {
	if err := positive("mass of "+r.Name, float64(m)*1000, "g"); err != nil {
		return err
	}
	a, err := s.additionOf(r)
	if err != nil {
		return err
	}
	s.pour(a, float64(m)*1000/a.grams)
	return nil
}

// AddVolume adds a volume of a liquid reagent, or of a powder by its typical
// bulk density.
func (s *Solution) AddVolume(r tables.Reagent, v unit.Volume) error {
	density := r.Packing().Typical
	if density == 0 {
		return &chem.InputError{Field: "volume of " + r.Name, Value: fmt.Sprintf("%.4g mL", float64(v)*1e6), Want: "a mass: its bulk density is not known"}
	}
	return s.Add(r, unit.Mass(float64(v)*density))
}

// AddMoles adds an amount of the pure formula of a reagent, with what else
// comes along in the product.
func (s *Solution) AddMoles(r tables.Reagent, n unit.Mole) error {
	return s.Add(r, unit.Mass(float64(n)/r.MolPerGram().Typical/1000))
}

// AddSpecies adds an amount of any species or solid of the tables: rust, say,
// as FeOOH(s, goethite), or iron as Fe(edta)-. A species with a charge
// unbalances the vessel unless its counter-ion is added too. Solids add their
// components and, once dissolved, hardly any volume.
func (s *Solution) AddSpecies(species string, n unit.Mole) error {
	if err := positive("amount of "+species, float64(n), "mol"); err != nil {
		return err
	}
	f, err := s.tables.Formation(species)
	if err != nil {
		return err
	}
	for _, c := range f.Coefficients {
		s.add(c.Component, c.N*float64(n))
	}
	return nil
}

// React carries out a balanced reaction in the vessel, n times in moles; a
// negative n runs it backwards. Air that turns iron(II) into iron(III) is
//
//	4 Fe2+ + O2(g) + 4 H+ = 4 Fe3+ + 2 H2O
//
// Gases and solids that the tables do not know, such as O2(g) or Fe(s), come
// from outside and go there. A reaction that takes more of a metal or a ligand
// than there is fails, and nothing changes.
func (s *Solution) React(r chem.Reaction, n unit.Mole) error {
	if math.IsNaN(float64(n)) || math.IsInf(float64(n), 0) {
		return &chem.InputError{Field: "extent of " + r.String(), Value: fmt.Sprintf("%g mol", float64(n)), Want: "a finite number"}
	}
	if err := r.Check(); err != nil {
		return err
	}
	change := make([]float64, len(s.amounts))
	for _, term := range r.Terms {
		if term.Species.Equal(water) {
			continue
		}
		f, err := s.tables.Formation(term.Species.String())
		if err != nil {
			if p := term.Species.Phase; p == chem.Gas || p == chem.Solid {
				continue
			}
			return err
		}
		for _, c := range f.Coefficients {
			change[c.Component] += term.Coefficient * c.N * float64(n)
		}
	}
	proton, err := s.component("H+")
	if err != nil {
		return err
	}
	for i, d := range change {
		if left := s.amounts[i] + d; i != proton && d < 0 && left < -1e-12*s.amounts[i] {
			return &chem.InputError{Field: "extent of " + r.String(), Value: fmt.Sprintf("%g mol", float64(n)), Want: fmt.Sprintf("no more than the %.4g mol of %s allow", s.amounts[i], s.tables.Components()[i].Species)}
		}
	}
	for i, d := range change {
		if d != 0 {
			s.add(i, d)
			if i != proton {
				s.amounts[i] = max(s.amounts[i], 0)
			}
		}
	}
	return nil
}

// Mix adds all of another vessel to this one, which keeps its temperature.
func (s *Solution) Mix(o *Solution) error {
	if s.tables != o.tables {
		return &chem.InputError{Field: "vessel", Value: "from other tables", Want: "one made with the same tables"}
	}
	for i, n := range o.amounts {
		if n != 0 {
			s.add(i, n)
		}
	}
	s.volume += o.volume * chem.WaterDensity(o.temperature) / chem.WaterDensity(s.temperature)
	s.tolerance = math.Hypot(s.tolerance, o.tolerance)
	return nil
}

// Remove takes out a fraction from 0 to 1 of everything: a bucket bailed out,
// drag-out on the parts.
func (s *Solution) Remove(fraction float64) error {
	if !(fraction >= 0 && fraction < 1) {
		return &chem.InputError{Field: "fraction removed", Value: fmt.Sprint(fraction), Want: "a number from 0 to below 1"}
	}
	for i := range s.amounts {
		s.amounts[i] *= 1 - fraction
	}
	s.volume *= 1 - fraction
	s.tolerance *= 1 - fraction
	return nil
}

// Evaporate takes out pure water, at most nine tenths of the volume.
func (s *Solution) Evaporate(v unit.Volume) error {
	if litres := float64(v) * 1000; !(litres >= 0 && litres <= 0.9*s.volume) {
		return &chem.InputError{Field: "volume evaporated", Value: fmt.Sprintf("%.4g L", litres), Want: fmt.Sprintf("0 to %.4g L", 0.9*s.volume)}
	}
	s.volume -= float64(v) * 1000
	return nil
}

// Open exposes the vessel to carbon dioxide at a pressure in atm, such as
// [AirCO2]. The state is then that of a vessel left to stand until it agrees
// with the air, which takes days.
func (s *Solution) Open(co2 float64) error {
	if !(co2 > 0 && co2 <= 1) {
		return &chem.InputError{Field: "pressure of CO2", Value: fmt.Sprintf("%g atm", co2), Want: "a number above 0 to 1 atm"}
	}
	s.co2 = co2
	s.model = nil
	return nil
}

// Close shuts the vessel off from the air: carbonate is conserved. A new
// vessel is closed.
func (s *Solution) Close() {
	s.co2 = 0
	s.model = nil
}

// Allow lets solids form, or keeps solids that are there, beyond those that
// form by default. Names are those of the tables.
func (s *Solution) Allow(solids ...string) error { return s.permit(&s.allowed, &s.barred, solids) }

// Bar keeps solids from forming.
func (s *Solution) Bar(solids ...string) error { return s.permit(&s.barred, &s.allowed, solids) }

func (s *Solution) permit(in, out *[]string, solids []string) error {
	names := make([]string, len(solids))
	for i, name := range solids {
		solid, err := s.tables.Solid(name)
		if err != nil {
			return err
		}
		names[i] = solid.Species.String()
	}
	for _, name := range names {
		*out = slices.DeleteFunc(*out, func(o string) bool { return o == name })
		if i, found := slices.BinarySearch(*in, name); !found {
			*in = slices.Insert(*in, i, name)
		}
	}
	s.model = nil
	return nil
}

func positive(field string, x float64, unit string) error {
	if !(x >= 0) || math.IsInf(x, 0) {
		return &chem.InputError{Field: field, Value: fmt.Sprintf("%g %s", x, unit), Want: "a finite number from 0"}
	}
	return nil
}
