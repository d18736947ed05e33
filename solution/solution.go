package solution

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/compiled"
	"example.com/chelation/tables"
)

// Solution is a vessel: what is in it, how warm it is, and whether it stands open to the air. It is
// not safe for concurrent use; [Solution.Clone] gives each goroutine its own. Contents are kept as
// moles of components (the hydrogen ion, bare metal ions, ligands without their protons), which are
// conserved whatever reacts; water is the medium.
//
// The volume is that of the water plus, for each thing dissolved, its mass times the apparent
// volume in the tables (a liquid: its volume as poured). Apparent volumes are those of dilute
// solutions and are known to about 0.05 cm³/g, so that the volume of a bath of 50 g/L is right
// within 0.3 %, and one of 200 g/L within 1.5 %; contraction when a concentrated liquid is mixed in
// adds up to 1 %.
type Solution struct {
	setting *compiled.Setting // shared with clones; nil in a vessel that New has not made
	volume  float64           // L
	water   float64           // L of it that were water when they came in
	amounts []float64         // mol, by component of the tables
	holdPH  bool              // by a buffer, at heldPH
	heldPH  float64

	problem *compiled.Problem // for the present components, or nil
	answer  *compiled.Answer  // the last one, or nil; shared with clones
	state   *State            // the record of what is in the vessel now, or nil; shared with clones
}

// New returns an empty vessel at a temperature from 0 to 100 °C.
func New(t *tables.Tables, temperature unit.Temperature) (*Solution, error) {
	if err := cmp.Or(checkTables(t), checkTemperature(temperature)); err != nil {
		return nil, err
	}
	stock := compiled.StockOf(t)
	return &Solution{setting: stock.At(temperature), amounts: make([]float64, len(stock.Components))}, nil
}

func checkTables(t *tables.Tables) error {
	if t == nil {
		return &chem.InputError{Field: "tables", Value: "nil", Want: "those of tables.Standard or Tables.With"}
	}
	return nil
}

// made refuses a vessel that did not come from New.
func (s *Solution) made() error {
	if s == nil || s.setting == nil {
		return &chem.InputError{Field: "vessel", Value: "the zero value", Want: "one made by solution.New"}
	}
	return nil
}

// Clone returns an independent copy. It costs little: what was compiled for the vessel serves its
// clones.
func (s *Solution) Clone() *Solution {
	c := *s
	c.amounts = slices.Clone(s.amounts)
	return &c
}

// Volume returns the volume of the solution.
func (s *Solution) Volume() unit.Volume { return unit.Volume(s.volume / 1000) }

// Amount returns how much of a component the vessel holds in all its forms, solids included. That
// of H⁺ is in excess of water and of bare ligands; it may be negative.
func (s *Solution) Amount(component string) (unit.Mole, error) {
	i, err := s.component(component)
	if err != nil {
		return 0, err
	}
	return unit.Mole(s.amounts[i]), nil
}

func (s *Solution) component(name string) (int, error) {
	if err := s.made(); err != nil {
		return 0, err
	}
	return s.setting.Component(name)
}

// AddPureWater adds water that holds nothing, not even carbon dioxide.
func (s *Solution) AddPureWater(v unit.Volume) error { return s.AddWater(tables.Water{}, v) }

// AddWater adds water with what is dissolved in it. Its carbonate is what its alkalinity and pH
// together ask for; a water whose pH cannot be had with carbonate alone is refused with an
// [*UnreachableError]. A water without a pH (0) gets no free carbonic acid: all its alkalinity is
// bicarbonate.
func (s *Solution) AddWater(w tables.Water, v unit.Volume) error {
	litres := float64(v) * 1000
	if err := chem.Within("volume of water", litres, 0, math.Inf(1), "L"); err != nil {
		return err
	}
	litre, err := s.litreOf(w)
	if err == nil {
		s.pour(litre, litres)
	}
	return err
}

func (s *Solution) litreOf(w tables.Water) (addition, error) {
	if err := s.made(); err != nil {
		return addition{}, err
	}
	litre := addition{amounts: make([]float64, len(s.amounts)), litres: 1, water: 1}
	for _, ion := range w.Ions {
		if err := chem.Within(fmt.Sprintf("%s of the water", ion.Species), ion.MolPerLitre, 0, math.Inf(1), "mol/L"); err != nil {
			return addition{}, err
		}
		i, err := s.component(ion.Species.String())
		if err != nil {
			return addition{}, err
		}
		litre.amounts[i] += ion.MolPerLitre
	}
	alkalinity := float64(w.Alkalinity)
	const most = 10 // mol/L, of either sign: beyond it no water is meant
	if err := chem.Within("alkalinity of the water", alkalinity, -most, most, "mol/L"); err != nil {
		return addition{}, err
	}
	switch {
	case w.PH == 0 && alkalinity == 0:
		return litre, nil
	case w.PH == 0 && alkalinity < 0:
		return addition{}, &chem.InputError{Field: "pH of the water", Value: "not given", Want: "a pH, as its alkalinity is negative"}
	}
	c, err := s.component("CO3^2-")
	if err != nil {
		return addition{}, err
	}
	const molarMass = 62.024 // of H2CO3, g/mol
	acid := addition{name: "carbonic acid", amounts: make([]float64, len(s.amounts)), grams: molarMass, most: mostPowder}
	acid.amounts[s.setting.Proton], acid.amounts[c] = 2, 1
	litre.amounts[s.setting.Proton] = -alkalinity
	moles := alkalinity // makes bicarbonate of all of it
	if w.PH != 0 {
		one := &Solution{setting: s.setting.At(chem.ReferenceTemperature), volume: 1, water: 1, amounts: litre.amounts}
		moles, _, err = one.dose(acid, PH(w.PH))
	}
	floats.AddScaled(litre.amounts, moles, acid.amounts)
	return litre, err
}

func (s *Solution) add(component int, n float64) {
	s.amounts[component] += n
	s.state = nil
	if s.problem != nil && s.problem.Place(component) < 0 {
		s.problem = nil
	}
}

func (s *Solution) scale(factor float64) {
	s.volume *= factor
	s.water *= factor
	s.state = nil
}

// Add adds a mass of a reagent as it is sold, at its typical assay.
func (s *Solution) Add(r tables.Reagent, m unit.Mass) error {
	if err := cmp.Or(s.made(), chem.Within("mass of "+r.Name, float64(m)*1000, 0, math.Inf(1), "g")); err != nil {
		return err
	}
	a, err := s.additionOf(r)
	if err != nil {
		return err
	}
	s.pour(a, float64(m)*1000/a.grams)
	return nil
}

// AddVolume adds a volume of a liquid reagent, or of a powder by its typical bulk density.
func (s *Solution) AddVolume(r tables.Reagent, v unit.Volume) error {
	density := r.Packing().Typical
	if density == 0 {
		return &chem.InputError{Field: "volume of " + r.Name, Value: fmt.Sprintf("%.4g mL", float64(v)*1e6), Want: "a mass: its bulk density is not known"}
	}
	return s.Add(r, unit.Mass(float64(v)*density))
}

// AddMoles adds an amount of the pure formula of a reagent, with what else comes along in the
// product.
func (s *Solution) AddMoles(r tables.Reagent, n unit.Mole) error {
	return s.Add(r, unit.Mass(float64(n)/r.MolPerGram().Typical/1000))
}

// AddSpecies adds an amount of any species or solid of the tables: rust, say, as FeOOH(s,
// goethite), or iron as Fe(edta)-. A species with a charge unbalances the vessel unless its
// counter-ion is added too; none adds volume.
func (s *Solution) AddSpecies(species string, n unit.Mole) error {
	if err := cmp.Or(s.made(), chem.Within("amount of "+chem.Echo(species), float64(n), 0, math.Inf(1), "mol")); err != nil {
		return err
	}
	f, err := s.setting.Tables.Formation(species)
	if err != nil {
		return err
	}
	for _, c := range f.Coefficients {
		s.add(c.Component, c.N*float64(n))
	}
	return nil
}

// React carries out a balanced reaction in the vessel, n times in moles; a negative n runs it
// backwards. Gases and solids that the tables do not know come from outside and go there, as in 4
// Fe2+ + O2(g) + 4 H+ = 4 Fe3+ + 2 H2O. A reaction that takes more of a metal or a ligand than
// there is fails, and nothing changes.
func (s *Solution) React(r chem.Reaction, n unit.Mole) error {
	if err := s.made(); err != nil {
		return err
	}
	if math.IsNaN(float64(n)) || math.IsInf(float64(n), 0) {
		return &chem.InputError{Field: "extent of " + r.String(), Value: fmt.Sprintf("%.4g mol", float64(n)), Want: "a finite number"}
	}
	change, err := s.changeBy(r)
	if err != nil {
		return err
	}
	floats.Scale(float64(n), change)
	const some = 10 // times rounding, for extents that were summed up
	for i, d := range change {
		if left := s.amounts[i] + d; i != s.setting.Proton && d < 0 && left < -some*rounding*s.amounts[i] {
			return &chem.InputError{Field: "extent of " + r.String(), Value: fmt.Sprintf("%.4g mol", float64(n)), Want: fmt.Sprintf("no more than the %.4g mol of %s allow", s.amounts[i], s.setting.Text[i])}
		}
	}
	s.pour(addition{amounts: change}, 1)
	for i, d := range change {
		if d < 0 && i != s.setting.Proton {
			s.amounts[i] = max(s.amounts[i], 0)
		}
	}
	return nil
}

// changeBy returns what a mole of a balanced reaction does to the components.
func (s *Solution) changeBy(r chem.Reaction) ([]float64, error) {
	change := make([]float64, len(s.amounts))
	for _, term := range r.Terms {
		if term.Species.Equal(water) {
			continue
		}
		f, err := s.setting.Tables.Formation(term.Species.String())
		if err != nil {
			if p := term.Species.Phase; p == chem.Gas || p == chem.Solid {
				continue
			}
			return nil, err
		}
		for _, c := range f.Coefficients {
			change[c.Component] += term.Coefficient * c.N
		}
	}
	return change, r.Check()
}

// Mix adds all of another vessel to this one, which keeps its temperature.
func (s *Solution) Mix(o *Solution) error {
	growth, err := s.growthBy(o)
	if err == nil {
		s.pour(addition{amounts: o.amounts, litres: o.volume * growth, water: o.water * growth}, 1)
	}
	return err
}

// growthBy returns the litres by which a litre of another vessel makes this one grow.
func (s *Solution) growthBy(o *Solution) (float64, error) {
	if err := cmp.Or(s.made(), o.made()); err != nil {
		return 0, err
	}
	if s.setting.Tables != o.setting.Tables {
		return 0, &chem.InputError{Field: "other vessel", Value: "from other tables", Want: "one made with the same tables"}
	}
	return chem.WaterDensity(o.setting.Temperature) / chem.WaterDensity(s.setting.Temperature), nil
}

// Remove takes out a fraction from 0 to 1 of everything: a bucket bailed out, drag-out on the parts.
func (s *Solution) Remove(fraction float64) error {
	if !(fraction >= 0 && fraction < 1) {
		return &chem.InputError{Field: "fraction removed", Value: fmt.Sprintf("%.4g", fraction), Want: "a number from 0 to below 1"}
	}
	floats.Scale(1-fraction, s.amounts)
	s.scale(1 - fraction)
	return nil
}

// Evaporate takes out pure water, at most nine tenths of the volume.
func (s *Solution) Evaporate(v unit.Volume) error {
	const most = 0.9
	litres := float64(v) * 1000
	if err := chem.Within("volume evaporated", litres, 0, min(most*s.volume, s.water), "L"); err != nil {
		return err
	}
	s.pour(addition{litres: 1, water: 1}, -litres)
	return nil
}
