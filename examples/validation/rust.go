package main

import (
	"example.com/chelation/chem"
	"example.com/chelation/solution/bath"
	"example.com/chelation/tables"
)

func thinningUpperBound(t *tables.Tables, in *input) (float64, error) {
	c, err := t.Corrosivity(in.text("category"))
	if err != nil {
		return 0, err
	}
	return c.ThinningHighMicrometres, nil
}

func massLossUpperBound(t *tables.Tables, in *input) (float64, error) {
	c, err := t.Corrosivity(in.text("category"))
	if err != nil {
		return 0, err
	}
	return c.LossHighGramsPerM2, nil
}

func massFractionIron(t *tables.Tables, in *input) (float64, error) {
	f, err := formula(t, in, "formula")
	if err != nil {
		return 0, err
	}
	return f.Count("Fe") * bath.IronMolarMass / f.MolarMass(), nil
}

func massPerIron(t *tables.Tables, in *input) (float64, error) {
	x, err := massFractionIron(t, in)
	return 1 / x, err
}

// molarVolume is that of a phase of rust, cm³ per mole of its formula.
func molarVolume(t *tables.Tables, in *input) (float64, error) {
	p, err := tables.Find[tables.RustPhase](t, in.text("phase"))
	if err != nil {
		return 0, err
	}
	return p.Formula.MolarMass() / p.DensityKgPerM3 * 1000, nil
}

// ironDensity is that of the metal in kg/m³ (CRC Handbook of Chemistry and
// Physics: 7.874 g/cm³ at 20 °C).
const ironDensity = 7874

// volumeRatioToIron is the volume of a phase over that of the iron it is made
// from (N. B. Pilling and R. E. Bedworth, J. Inst. Met. 29 (1923) 529).
func volumeRatioToIron(t *tables.Tables, in *input) (float64, error) {
	p, err := tables.Find[tables.RustPhase](t, in.text("phase"))
	if err != nil {
		return 0, err
	}
	return ironDensity / (p.IronFraction() * p.DensityKgPerM3), nil
}

// volumeRatioOfRust is the same for a layer with its pores.
func volumeRatioOfRust(t *tables.Tables, in *input) (float64, error) {
	r, err := t.Rust(in.text("rust"))
	if err != nil {
		return 0, err
	}
	return ironDensity / (r.IronFraction().Typical * r.Density().Typical), nil
}

// ironCapacity is the iron in kg/m³ (g/L) that a chelant holds 1:1.
func ironCapacity(t *tables.Tables, in *input) (float64, error) {
	f, err := formula(t, in, "formula")
	if err != nil {
		return 0, err
	}
	return in.number("mass_kg_m3") / f.MolarMass() * bath.IronMolarMass, nil
}

// ironOxidisedPerIronReduced is the metal that goes with the ferric iron of a
// reaction, by mass.
func ironOxidisedPerIronReduced(_ *tables.Tables, in *input) (float64, error) {
	r, err := chem.ParseReaction(in.text("reaction"))
	if err != nil {
		return 0, err
	}
	if err := r.Check(); err != nil {
		return 0, err
	}
	var metal, ferric float64
	for _, term := range r.Terms {
		switch term.Species.String() {
		case "Fe(s)":
			metal = term.Coefficient
		case "Fe3+":
			ferric = term.Coefficient
		}
	}
	return metal / ferric, nil
}
