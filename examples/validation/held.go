package main

import (
	"fmt"
	"math"
	"strings"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// The quantities of this file hold for a pH that is given.

// atPH is what a row describes, kept at its pH.
func atPH(t *tables.Tables, in *input, pH float64) (*solution.Solution, error) {
	s, err := vessel(t, in)
	if err != nil {
		return nil, err
	}
	return s, s.HoldPH(pH)
}

// share is the part of a component that some species hold, 0 to 1: A|B|C.
func share(t *tables.Tables, in *input) (float64, error) {
	component, err := t.Formation(in.text("component"))
	if err != nil {
		return 0, err
	}
	wanted := map[string]bool{}
	for name := range strings.SplitSeq(in.text("species"), "|") {
		f, err := t.Formation(name)
		if err != nil {
			return 0, err
		}
		wanted[f.Species.String()] = true
	}
	s, err := atPH(t, in, in.number("pH"))
	if err != nil {
		return 0, err
	}
	st, err := equilibrate(t, in, s)
	if err != nil {
		return 0, err
	}
	all, err := makings(t, st)
	if err != nil {
		return 0, err
	}
	part, sum := 0.0, 0.0
	for _, m := range all {
		n := m.Of(component.Coefficients[0].Component) * m.molPerLitre
		sum += n
		if wanted[m.Species.String()] {
			part += n
		}
	}
	return part / sum, nil
}

// logShare is log10 of a share, of one that is small.
func logShare(t *tables.Tables, in *input) (float64, error) {
	x, err := share(t, in)
	return math.Log10(x), err
}

// logDissolvedHeld is log10 of what a solid gives to a solution whose pH is held.
func logDissolvedHeld(t *tables.Tables, in *input) (float64, error) {
	component := in.text("component")
	s, err := atPH(t, in, in.number("pH"))
	if err != nil {
		return 0, err
	}
	st, err := saturatedState(t, in, s, in.text("saturated"))
	if err != nil {
		return 0, err
	}
	c, err := dissolvedTotal(t, st, component)
	return math.Log10(c), err
}

// baseToPH is the caustic soda in g that brings a litre to a pH.
func baseToPH(t *tables.Tables, in *input) (float64, error) {
	s, err := vessel(t, in)
	if err != nil {
		return 0, err
	}
	_, d, err := neutralise(t, in, s, "NaOH")
	if err != nil {
		return 0, err
	}
	if _, err := equilibrate(t, in, s); err != nil {
		return 0, err
	}
	return d.MassGrams, nil
}

// logConditional is the conditional constant of a metal and a ligand at a pH, or
// at −log10 [H⁺] where that was published, beside others at a free
// concentration: free=Na+:0.47|Ca2+:0.0095.
func logConditional(t *tables.Tables, in *input) (float64, error) {
	around := solution.Surroundings{Temperature: in.temperature(), IonicStrength: in.number("I_M"), Free: map[string]float64{}}
	metal, ligand := in.text("metal"), in.text("ligand")
	names := []string{"H+", metal, ligand}
	if in.has("free") {
		for part := range strings.SplitSeq(in.text("free"), "|") {
			var c float64
			name, amount, _ := strings.Cut(part, ":")
			if _, err := fmt.Sscan(amount, &c); err != nil {
				in.refuse("free", part, "component:mol/L, separated by |")
			}
			around.Free[name] = c
			names = append(names, name)
		}
	}
	var components []int
	for _, name := range names {
		f, err := t.Formation(name)
		if err != nil {
			return 0, err
		}
		components = append(components, f.Coefficients[0].Component)
	}
	in.restOn(t.Formations(components, chem.Aqueous)...)
	pair, err := solution.NewPair(t, metal, ligand, around)
	if err != nil {
		return 0, err
	}
	if in.has("pcH") {
		return pair.LogConditional(pair.PH(in.number("pcH"))), nil
	}
	return pair.LogConditional(in.number("pH")), nil
}

// faraday is the charge of a mole of electrons, C/mol (SI, exact).
const faraday = 96485.33212

// ferricEnthalpy is that of Fe3+ + ½ H2 = Fe2+ + H+ in J/mol: −89.1 less −48.5
// kJ/mol for the ions (NBS tables of thermodynamic properties, 1982; from memory).
const ferricEnthalpy = -40.6e3

// formalPotential is that of iron(III) against iron(II) in V, both in the same
// total amount at a held pH, against hydrogen at 1 mol/L of H⁺ in the same salt. With
// minus_pH, it is how far the potential lies from that at another pH.
func formalPotential(t *tables.Tables, in *input) (float64, error) {
	at, err := potentialAt(t, in, in.number("pH"))
	if err != nil || !in.has("minus_pH") {
		return at, err
	}
	from, err := potentialAt(t, in, in.number("minus_pH"))
	return at - from, err
}

func potentialAt(t *tables.Tables, in *input, pH float64) (float64, error) {
	couple, err := tables.Find[tables.Couple](t, "ferric-ferrous")
	if err != nil {
		return 0, err
	}
	s, err := atPH(t, in, pH)
	if err != nil {
		return 0, err
	}
	st, err := equilibrate(t, in, s)
	if err != nil {
		return 0, err
	}
	volts := chem.GasConstant * float64(s.Temperature()) / faraday // per unit of ln
	const deltaZ2 = -4                                             // of the couple with hydrogen: 4 + 1 − 9
	k := chem.Constant{
		LogK:   couple.PotentialVolts * faraday / (chem.GasConstant * float64(chem.ReferenceTemperature) * math.Ln10),
		DeltaH: ferricEnthalpy, DeltaZ2: deltaZ2,
	}
	free := map[string]float64{}
	for _, c := range st.Components {
		free[c.Species] = c.FreeMolPerLitre
	}
	return volts * (math.Ln10*k.Log10K(s.Temperature(), st.IonicStrengthMolPerLitre) + math.Log(free["Fe3+"]/free["Fe2+"])), nil
}
