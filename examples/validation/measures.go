package main

import (
	"example.com/chelation/chem/measure"
	"example.com/chelation/tables"
)

func measuredVolume(_ *tables.Tables, in *input) (float64, error) {
	v, err := measure.ParseVolume(in.text("measure"))
	return float64(v) * 1e6, err // mL
}

func measuredMass(_ *tables.Tables, in *input) (float64, error) {
	m, err := measure.ParseMass(in.text("measure"))
	return float64(m) * 1e3, err // g
}

func measuredLength(_ *tables.Tables, in *input) (float64, error) {
	l, err := measure.ParseLength(in.text("measure"))
	return float64(l) * 1e3, err // mm
}

func measuredTemperature(_ *tables.Tables, in *input) (float64, error) {
	t, err := measure.ParseTemperature(in.text("measure"))
	return float64(t) - 273.15, err // °C
}

// massOfLevelSpoon is the mass in g of a spoon of powder.
func massOfLevelSpoon(t *tables.Tables, in *input) (float64, error) {
	r, err := t.Reagent(in.text("reagent"))
	if err != nil {
		return 0, err
	}
	v, err := measure.ParseVolume(in.text("measure"))
	if err != nil {
		return 0, err
	}
	return r.Bulk.MassOf(v).TypicalGrams, nil
}

// massConcentration is a mass over a volume, in g/L.
func massConcentration(_ *tables.Tables, in *input) (float64, error) {
	m, err := measure.ParseMass(in.text("mass"))
	if err != nil {
		return 0, err
	}
	v, err := measure.ParseVolume(in.text("volume"))
	return float64(m) / float64(v), err
}
