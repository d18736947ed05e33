package main

import (
	"fmt"

	"example.com/chelation/chem"
	"example.com/chelation/solution/bath"
	"example.com/chelation/tables"
)

func formula(t *tables.Tables, in *input, key string) (chem.Formula, error) {
	return t.Notation().ParseFormula(in.text(key))
}

// massPerEDTA is the mass of analyte in mg whose metal binds the EDTA 1:1.
func massPerEDTA(t *tables.Tables, in *input) (float64, error) {
	f, err := formula(t, in, "formula")
	if err != nil {
		return 0, err
	}
	millimoles := in.number("c_edta_M") * in.number("V_edta_mL")
	return f.MolarMass() / f.Count(in.text("metal")) * millimoles, nil
}

func titratedHardness(t *tables.Tables, in *input) (float64, error) {
	u, err := tables.Find[tables.HardnessUnit](t, in.text("unit"))
	if err != nil {
		return 0, err
	}
	return in.number("c_edta_M") * in.number("V_edta_mL") / in.number("V_sample_mL") / u.MolPerLitre, nil
}

func hardnessOfCaAndMg(_ *tables.Tables, in *input) (float64, error) {
	sum := 0.0
	for _, symbol := range []string{"Ca", "Mg"} {
		f, err := chem.ParseFormula(symbol)
		if err != nil {
			return 0, err
		}
		sum += in.number(symbol+"_mg_L") / 1000 / f.MolarMass()
	}
	return tables.Hardness(sum).CaCO3(), nil
}

// hardnessFactor is mg/L as CaCO3 per mg/L of the element.
func hardnessFactor(t *tables.Tables, in *input) (float64, error) {
	f, err := formula(t, in, "element")
	if err != nil {
		return 0, err
	}
	return tables.Hardness(1e-3 / f.MolarMass()).CaCO3(), nil
}

func hardnessUnit(t *tables.Tables, in *input) (float64, error) {
	u, err := tables.Find[tables.HardnessUnit](t, in.text("unit"))
	if err != nil {
		return 0, err
	}
	return u.Hardness(1).CaCO3(), nil
}

// hardnessClassLowerBound is the least whole number of mg/L as CaCO3 in a class.
func hardnessClassLowerBound(_ *tables.Tables, in *input) (float64, error) {
	want := in.text("class")
	perUnit := tables.Hardness(1).CaCO3()
	for mg := range 1000 {
		if tables.Hardness(float64(mg)/perUnit).Class() == want {
			return float64(mg), nil
		}
	}
	return 0, fmt.Errorf("no hardness below 1000 mg/L is of class %q", want)
}

// chelationValue is that of a reagent with its typical assay exchanged for a
// stated purity, in mg CaCO3 per g.
func chelationValue(t *tables.Tables, in *input) (float64, error) {
	r, err := t.Reagent(in.text("reagent"))
	if err != nil {
		return 0, err
	}
	return r.ChelationValue().Typical * in.number("purity") / r.Assay.Typical, nil
}

// massOfSaltPerIron is the mass of a chelant that holds a mass of iron 1:1.
func massOfSaltPerIron(t *tables.Tables, in *input) (float64, error) {
	f, err := formula(t, in, "formula")
	if err != nil {
		return 0, err
	}
	return f.MolarMass() / bath.IronMolarMass, nil
}
