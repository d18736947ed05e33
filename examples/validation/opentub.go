package main

import (
	"cmp"

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

// filled is a tub of 20 L under 0.1 m² that holds EDTA and a third as much iron of one state,
// with how much EDTA in mol.
func filled(t *tables.Tables, in *input, at unit.Temperature, iron string, place bath.Place) (b *bath.Bath, moles float64, err error) {
	v, err := solution.New(t, at)
	if err != nil {
		return nil, 0, err
	}
	const litres = 20
	moles = litres * in.number("EDTA_mol_L")
	if err := v.AddPureWater(litres * measure.Litre); err != nil {
		return nil, 0, err
	}
	for species, n := range map[string]float64{"edta4-": moles, iron: moles / 3, "H+": moles, "Na+": 2 * moles} {
		if err := v.AddSpecies(species, unit.Mole(n)); err != nil {
			return nil, 0, err
		}
	}
	if b, err = bath.New(t, v); err != nil {
		return nil, 0, err
	}
	place.SurfaceCm2 = 1000
	return b, moles, b.Stand(place)
}

// standing lets a day pass for one.
func standing(t *tables.Tables, in *input, iron string, place bath.Place) (h bath.Hour, moles float64, err error) {
	b, moles, err := filled(t, in, in.temperature(), iron, place)
	if err != nil {
		return h, 0, err
	}
	h, err = b.Pass(bath.Parts{}, measure.Day)
	return h, moles, err
}

// steelTimesFaster is the bare steel that a stirred tub takes in an hour over what it takes at
// another pH and temperature.
func steelTimesFaster(t *tables.Tables, in *input) (float64, error) {
	lost := func(pH, celsius float64) (float64, error) {
		b, _, err := filled(t, in, chem.Celsius(celsius), "Fe3+", bath.Place{Cover: bath.Stirred})
		if err != nil {
			return 0, err
		}
		if b, err = b.At(pH); err != nil {
			return 0, err
		}
		h, err := b.Pass(bath.Parts{BareSteelCm2: 100}, measure.Hour)
		return h.SteelLostGrams.Typical, err
	}
	before, err := lost(in.number("from_pH"), in.number("from_C"))
	after, err2 := lost(in.number("pH"), in.number("T_C"))
	return after / before, cmp.Or(err, err2)
}

// chelantLostToLight is the part of the chelant, a third of it with iron(III), that light
// destroys in a day, in per cent.
func chelantLostToLight(t *tables.Tables, in *input) (float64, error) {
	cover, err := bath.ParseCover(in.text("cover"))
	if err != nil {
		return 0, err
	}
	light, err := bath.ParseLight(in.text("light"))
	if err != nil {
		return 0, err
	}
	h, moles, err := standing(t, in, "Fe3+", bath.Place{Cover: cover, Light: light})
	return 100 * h.LightSpoiltMoles.Typical / moles, err
}

// ironPerOxygen is the iron(II) that turns into iron(III) in a stirred tub for each oxygen
// taken up: four, less what the chelant gives of the electrons.
func ironPerOxygen(t *tables.Tables, in *input) (float64, error) {
	h, moles, err := standing(t, in, "Fe2+", bath.Place{Cover: bath.Stirred})
	return (moles/3 - h.IronIIMoles.Typical) / h.O2InMoles.Typical, err
}

// ironOxidation is k21 of iron(II) with EDTA and oxygen, in m⁶/(mol² s), as a course has it.
func ironOxidation(t *tables.Tables, in *input) (float64, error) {
	k, err := tables.Find[tables.Kinetic](t, "iron-oxidation")
	energy, err2 := tables.Find[tables.Kinetic](t, "iron-oxidation-energy")
	more, err3 := rust.Arrhenius(energy.Value.Typical, chem.ReferenceTemperature, in.temperature())
	return k.Value.Typical * more, cmp.Or(err, err2, err3)
}
