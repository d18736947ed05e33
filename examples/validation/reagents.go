package main

import (
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

func molarMass(t *tables.Tables, in *input) (float64, error) {
	f, err := formula(t, in, "formula")
	if err != nil {
		return 0, err
	}
	return f.MolarMass(), nil
}

// waterContent is the hydrate water of a reagent's formula, percent by mass.
func waterContent(t *tables.Tables, in *input) (float64, error) {
	r, err := t.Reagent(in.text("reagent"))
	if err != nil {
		return 0, err
	}
	water, err := chem.ParseSpecies("H2O")
	if err != nil {
		return 0, err
	}
	mass := 0.0
	for s, n := range r.Components() {
		if s.Equal(water) {
			mass += n * water.Formula.MolarMass()
		}
	}
	return 100 * mass / r.Formula.MolarMass(), nil
}

// solutionDensity is the density in g/cm³ of a solution of a pure compound by
// percent of mass.
func solutionDensity(t *tables.Tables, in *input) (float64, error) {
	r, err := t.Reagent(in.text("reagent"))
	if err != nil {
		return 0, err
	}
	s, err := solution.New(t, in.temperature())
	if err != nil {
		return 0, err
	}
	const total = 1.0 // kg of solution
	product := total * in.number("mass_percent") / 100 / r.Assay.Typical
	if err := s.Add(r, unit.Mass(product)); err != nil {
		return 0, err
	}
	if err := s.AddPureWater(unit.Volume((total - product) / chem.WaterDensity(in.temperature()))); err != nil {
		return 0, err
	}
	return total / float64(s.Volume()) / 1000, nil
}

func molality(t *tables.Tables, in *input) (float64, error) {
	f, err := formula(t, in, "formula")
	if err != nil {
		return 0, err
	}
	w := in.number("mass_percent") / 100
	return w / (1 - w) / f.MolarMass() * 1000, nil
}

func bulkDensity(t *tables.Tables, in *input) (float64, error) {
	r, err := t.Reagent(in.text("reagent"))
	if err != nil {
		return 0, err
	}
	return r.Bulk.Typical, nil
}
