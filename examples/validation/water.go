package main

import (
	"math"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

func waterDensity(_ *tables.Tables, in *input) (float64, error) {
	return chem.WaterDensity(in.temperature()), nil
}

func waterPermittivity(_ *tables.Tables, in *input) (float64, error) {
	return chem.WaterPermittivity(in.temperature()), nil
}

func debyeHuckelA(_ *tables.Tables, in *input) (float64, error) {
	return chem.DebyeHuckelA(in.temperature()), nil
}

func pKw(_ *tables.Tables, in *input) (float64, error) {
	return chem.WaterIonProduct(in.temperature()), nil
}

// pKwOfSpecies is pKw as the solver has it, from the constant of OH⁻, turned
// from mol/L into the mol/kg of the published tables.
func pKwOfSpecies(t *tables.Tables, in *input) (float64, error) {
	f, err := in.formation(t, "OH-")
	if err != nil {
		return 0, err
	}
	at := in.temperature()
	return -f.Constant.Log10K(at, 0) + 2*math.Log10(chem.WaterDensity(at)/1000), nil
}

func activityCoefficient(_ *tables.Tables, in *input) (float64, error) {
	return chem.ActivityCoefficient(int(in.number("z")), in.numberOr("epsilon", 0), in.number("I_M"), in.temperature()), nil
}
