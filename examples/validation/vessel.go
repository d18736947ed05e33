package main

import (
	"errors"
	"fmt"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// salts are laboratory salts that are no reagents of the tables, put together
// from ions.
var salts = map[string][]string{
	"NaH2PO4": {"Na+", "H2PO4-"},
}

// vessel makes up what a row describes: solutes per kilogram of water or per
// litre, or two stock solutions made up to a volume; then what else there is,
// air or a solid in excess.
func vessel(t *tables.Tables, in *input) (*solution.Solution, error) {
	s, err := solution.New(t, chem.Celsius(in.numberOr("T_C", 25)))
	if err != nil {
		return nil, err
	}
	litres := 1.0
	switch {
	case in.has("s1"):
		litres, err = mix(t, s, in)
	default:
		litres, err = dissolve(t, s, in.solutes())
	}
	if err != nil {
		return nil, err
	}
	if litres > 0 {
		// Made up to the mark.
		if err := s.AddPureWater(unit.Volume(litres/1000) - s.Volume()); err != nil {
			return nil, err
		}
	}
	if in.has("bar") {
		if err := s.Bar(in.text("bar")); err != nil {
			return nil, err
		}
	}
	if in.has("saturated") {
		if err := saturate(s, in.text("saturated")); err != nil {
			return nil, err
		}
	}
	if in.has("CO2_atm") {
		if err := s.Open(in.number("CO2_atm")); err != nil {
			return nil, err
		}
	}
	return s, nil
}

// dissolve adds solutes and returns the volume to make up to in litres, 0 for
// solutions per kilogram of water, which is then there already.
func dissolve(t *tables.Tables, s *solution.Solution, solutes []solute) (litres float64, err error) {
	litres = 1
	for _, x := range solutes {
		switch x.unit {
		case "g/L":
			var r tables.Reagent
			if r, err = t.Reagent(x.name); err == nil {
				err = s.Add(r, unit.Mass(x.amount/1000))
			}
		default:
			err = addMoles(t, s, x.name, x.amount)
		}
		if err != nil {
			return 0, err
		}
		if x.unit == "mol/kg" {
			litres = 0
		}
	}
	if litres == 0 {
		return 0, s.AddPureWater(unit.Volume(1 / chem.WaterDensity(s.Temperature())))
	}
	return litres, nil
}

// mix adds V1_mL of c1_M s1 and V2_mL of c2_M s2.
func mix(t *tables.Tables, s *solution.Solution, in *input) (litres float64, err error) {
	for _, k := range []string{"1", "2"} {
		moles := in.number("c"+k+"_M") * in.number("V"+k+"_mL") / 1000
		if err := addMoles(t, s, in.text("s"+k), moles); err != nil {
			return 0, err
		}
	}
	return in.number("final_mL") / 1000, nil
}

// addMoles adds a reagent, a salt put together from ions, or a species.
func addMoles(t *tables.Tables, s *solution.Solution, name string, n float64) error {
	if ions, ok := salts[name]; ok {
		for _, ion := range ions {
			if err := s.AddSpecies(ion, unit.Mole(n)); err != nil {
				return err
			}
		}
		return nil
	}
	r, err := t.Reagent(name)
	if errors.Is(err, tables.ErrNotFound) {
		return s.AddSpecies(name, unit.Mole(n))
	}
	if err != nil {
		return err
	}
	return s.AddMoles(r, unit.Mole(n))
}

// saturate adds more of a solid than can dissolve.
func saturate(s *solution.Solution, solid string) error {
	if err := s.Allow(solid); err != nil {
		return err
	}
	return s.AddSpecies(solid, 1)
}

// saturatedState equilibrates and makes sure that some of the solid is left.
func saturatedState(t *tables.Tables, in *input, s *solution.Solution, solid string) (*solution.State, error) {
	st, err := equilibrate(t, in, s)
	if err != nil {
		return nil, err
	}
	want, err := t.Formation(solid)
	if err != nil {
		return nil, err
	}
	for _, x := range st.Solids {
		if x.Species == want.Species.String() && x.Moles > 0 {
			return st, nil
		}
	}
	return nil, fmt.Errorf("all of the %s dissolves", solid)
}

// dissolvedTotal sums a component over the dissolved species, mol/L.
func dissolvedTotal(t *tables.Tables, st *solution.State, component string) (float64, error) {
	c, err := t.Formation(component)
	if err != nil {
		return 0, err
	}
	all, err := makings(t, st)
	if err != nil {
		return 0, err
	}
	sum := 0.0
	for _, m := range all {
		if m.Species.Phase == chem.Aqueous {
			sum += m.Of(c.Coefficients[0].Component) * m.molPerLitre
		}
	}
	return sum, nil
}
