package bath

import (
	"errors"
	"fmt"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// Strong acid and base, free of water, that bind nothing to speak of, with the apparent volumes
// of the acid and the lye of the tables.
var (
	strongAcid = pure("strong acid", mustReaction("HCl = H+ + Cl-"), acidCm3PerGram)
	strongBase = pure("strong base", mustReaction("NaOH + H+ = Na+ + H2O"), lyeCm3PerGram)
)

const acidCm3PerGram, lyeCm3PerGram = 0.53, -0.1

// pure returns what the first term of a dissolution stands for in the shape of a reagent.
func pure(name string, dissolution chem.Reaction, volume float64) tables.Reagent {
	return tables.Reagent{
		Entry: tables.Entry{ID: name, Name: name}, Formula: dissolution.Terms[0].Species.Formula, Dissolution: dissolution,
		Assay: tables.Range{Low: 1, Typical: 1, High: 1}, Remainder: must(chem.ParseFormula("H2O")), ApparentCm3PerGram: volume, Form: tables.Liquid,
	}
}

// reagent is the oxide in the shape of one.
func (o Oxide) reagent(t *tables.Tables) (tables.Reagent, error) {
	f, err := t.Formation(o.Species)
	dissolution := chem.Reaction{Terms: []chem.Term{{Coefficient: -1, Species: f.Species}}}
	components := t.Components()
	for _, x := range f.Coefficients {
		dissolution.Terms = append(dissolution.Terms, chem.Term{Coefficient: x.N, Species: components[x.Component].Species})
	}
	return pure(o.Name, dissolution, 0), err
}

// bring adds the strong acid or base that brings a vessel to a pH, and tells the ion with it.
func bring(v *solution.Solution, pH float64) (ion string, err error) {
	ion = "Cl-"
	if _, err = v.Bring(strongAcid, solution.PH(pH)); errors.Is(err, solution.ErrUnreachable) {
		ion = "Na+"
		_, err = v.Bring(strongBase, solution.PH(pH))
	}
	if errors.Is(err, solution.ErrUnreachable) {
		err = &chem.InputError{Field: "pH", Value: fmt.Sprintf("%.4g", pH), Want: "a pH that strong acid or lye can bring about in this bath"}
	}
	return ion, err
}

func mustReaction(s string) chem.Reaction { return must(chem.ParseReaction(s)) }

// must is for what is written in this package's own code.
func must[T any](x T, err error) T {
	if err != nil {
		panic(err)
	}
	return x
}
