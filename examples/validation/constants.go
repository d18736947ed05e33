package main

import (
	"fmt"
	"math"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

func pKa(t *tables.Tables, in *input) (float64, error) {
	acid, err := in.formation(t, in.text("acid"))
	if err != nil {
		return 0, err
	}
	base, err := in.formation(t, in.text("base"))
	if err != nil {
		return 0, err
	}
	return acid.Constant.Plus(-1, base.Constant).Log10K(in.temperature(), in.number("I_M")), nil
}

func logBeta(t *tables.Tables, in *input) (float64, error) {
	return logKOf(t, in, in.text("species"))
}

// logKMY is the constant of a metal with edta4-.
func logKMY(t *tables.Tables, in *input) (float64, error) {
	metal, err := t.Notation().ParseSpecies(in.text("metal"))
	if err != nil {
		return 0, err
	}
	var symbol string
	for s := range metal.Formula.Composition() {
		symbol = s
	}
	log, err := logKOf(t, in, fmt.Sprintf("%s(edta)^%d-", symbol, 4-metal.Formula.Charge()))
	if err != nil {
		return 0, err
	}
	bound, err := boundByMedium(t, in, "edta4-")
	return log - bound, err
}

func logKOf(t *tables.Tables, in *input, species string) (float64, error) {
	f, err := in.formation(t, species)
	if err != nil {
		return 0, err
	}
	return f.Constant.Log10K(in.temperature(), in.number("I_M")), nil
}

// boundByMedium is log10 of 1 + K [M⁺] for a component and the cation of the
// background salt, which is there at the ionic strength. Whoever measures in
// potassium chloride and knows nothing of K(edta)³⁻ counts it as free EDTA, and
// publishes a constant that is smaller by that factor.
func boundByMedium(t *tables.Tables, in *input, component string) (float64, error) {
	if !in.has("medium") {
		return 0, nil
	}
	cation, err := in.formation(t, in.text("medium"))
	if err != nil {
		return 0, err
	}
	ligand, err := in.formation(t, component)
	if err != nil {
		return 0, err
	}
	m, l := cation.Coefficients[0].Component, ligand.Coefficients[0].Component
	i := in.number("I_M")
	sum := 1.0
	for _, f := range t.Formations([]int{m, l}, chem.Aqueous) {
		if f.Of(m) == 1 && f.Of(l) == 1 {
			in.restOn(f)
			sum += i * math.Pow(10, f.Constant.Log10K(in.temperature(), i))
		}
	}
	return math.Log10(sum), nil
}

// logK is the constant of any reaction between species of the tables.
func logK(t *tables.Tables, in *input) (float64, error) {
	r, sum, err := reaction(t, in)
	if err != nil {
		return 0, err
	}
	bound := 0.0 // by the medium
	for _, term := range r.Terms {
		if f, err := t.Formation(term.Species.String()); err == nil && term.Coefficient < 0 && len(f.Steps) == 0 {
			b, err := boundByMedium(t, in, term.Species.String())
			if err != nil {
				return 0, err
			}
			bound -= term.Coefficient * b
		}
	}
	return sum.Log10K(in.temperature(), in.number("I_M")) - bound, nil
}

// enthalpy is that of a reaction in kJ/mol.
func enthalpy(t *tables.Tables, in *input) (float64, error) {
	_, sum, err := reaction(t, in)
	return sum.Enthalpy(in.temperature(), in.number("I_M")) / 1000, err
}

// reaction reads a reaction and adds up what makes its species.
func reaction(t *tables.Tables, in *input) (r chem.Reaction, sum chem.Constant, err error) {
	if r, err = t.Notation().ParseReaction(in.text("reaction")); err != nil {
		return r, sum, err
	}
	if err = r.Check(); err != nil {
		return r, sum, err
	}
	for _, term := range r.Terms {
		if term.Species.String() == "H2O" {
			continue
		}
		f, err := in.formation(t, term.Species.String())
		if err != nil {
			return r, sum, err
		}
		sum = sum.Plus(term.Coefficient, f.Constant)
	}
	return r, sum, nil
}
