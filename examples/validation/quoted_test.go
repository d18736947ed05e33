package main

import (
	"math"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// quoted finds the observation that a constant is fitted to and that a row
// repeats: the same reaction, temperature and ionic strength, and the same figure as
// far as it is printed. Such a row cannot guard the constant.
func quoted(t *tables.Tables, c check) (chem.Observation, bool) {
	kind := chem.Log10K
	scale := 1.0
	in := c.conditions.reader(c)
	var terms []chem.Term
	switch c.quantity {
	case "enthalpy":
		kind, scale = chem.Enthalpy, 1000
		fallthrough
	case "log_K":
		r, err := t.Notation().ParseReaction(in.text("reaction"))
		if err != nil {
			return chem.Observation{}, false
		}
		terms = r.Terms
	case "pKa":
		for i, key := range []string{"acid", "base"} {
			s, err := t.Notation().ParseSpecies(in.text(key))
			if err != nil {
				return chem.Observation{}, false
			}
			terms = append(terms, chem.Term{Coefficient: 1 - 2*float64(i), Species: s})
		}
	case "log_beta":
		s, err := t.Notation().ParseSpecies(in.text("species"))
		if err != nil {
			return chem.Observation{}, false
		}
		terms = []chem.Term{{Coefficient: 1, Species: s}}
	default:
		return chem.Observation{}, false
	}
	net := map[int]float64{}
	for _, term := range terms {
		f, err := t.Formation(term.Species.String())
		if err != nil {
			continue // water
		}
		for _, step := range f.Steps {
			net[step.Equilibrium] += term.Coefficient * step.N
		}
	}
	at, n := -1, 0.0
	for i, x := range net {
		if math.Abs(x) > 1e-9 {
			if at >= 0 {
				return chem.Observation{}, false
			}
			at, n = i, x
		}
	}
	if at < 0 {
		return chem.Observation{}, false
	}
	const sameT, sameI, sameFigure = 1, 0.01, 0.006 // K, mol/L, half a unit of the second decimal
	fitted, _ := t.EquilibriumAt(at)
	for _, o := range fitted.Observations {
		if o.Used && o.Quantity == kind && math.Abs(o.TemperatureC-in.number("T_C")) < sameT &&
			math.Abs(o.IonicStrengthMolPerLitre-in.number("I_M")) < sameI && math.Abs(n*o.Value/scale-c.published) < sameFigure*max(1, math.Abs(n)) {
			return o, true
		}
	}
	return chem.Observation{}, false
}
