package main

import (
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

// oxygenInWater is the oxygen of fresh water under air in mg/L, as a course has it.
func oxygenInWater(t *tables.Tables, in *input) (float64, error) {
	at20, err := tables.Find[tables.Kinetic](t, "oxygen-in-water")
	if err != nil {
		return 0, err
	}
	energy, err := tables.Find[tables.Kinetic](t, "oxygen-energy")
	if err != nil {
		return 0, err
	}
	more, err := rust.Arrhenius(energy.Value.Typical, chem.Celsius(20), in.temperature())
	return 2 * 15.999 * at20.Value.Typical / more, err
}

// chelantLostToLight is the part of the chelant, a third of it with iron(III), that light
// destroys in a day in 20 L under 0.1 m², in per cent.
func chelantLostToLight(t *tables.Tables, in *input) (float64, error) {
	cover, err := bath.ParseCover(in.text("cover"))
	if err != nil {
		return 0, err
	}
	light, err := bath.ParseLight(in.text("light"))
	if err != nil {
		return 0, err
	}
	v, err := solution.New(t, in.temperature())
	if err != nil {
		return 0, err
	}
	const litres = 20
	moles := litres * in.number("EDTA_mol_L")
	if err := v.AddPureWater(litres * measure.Litre); err != nil {
		return 0, err
	}
	for species, n := range map[string]float64{"edta4-": moles, "Fe3+": moles / 3, "H+": moles, "Na+": 2 * moles} {
		if err := v.AddSpecies(species, unit.Mole(n)); err != nil {
			return 0, err
		}
	}
	b, err := bath.New(t, v)
	if err != nil {
		return 0, err
	}
	if err := b.Stand(bath.Place{Cover: cover, Light: light, SurfaceCm2: 1000}); err != nil {
		return 0, err
	}
	h, err := b.Pass(bath.Parts{}, measure.Day)
	return 100 * h.LightSpoiltMoles.Typical / moles, err
}
