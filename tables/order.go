package tables

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"

	"example.com/chelation/chem"
)

// checkOrder verifies that solids age as in solid-orders.csv, each into one that is less soluble at
// 25 °C.
func (t *Tables) checkOrder(files []fs.FS) error {
	rows := t.read(files, "solid-orders.csv")
	for _, r := range rows.rows {
		r.sources()
		if k, missing := t.sum(r.reaction("reaction")); missing != "" || k.LogK <= 0 {
			r.fail("reaction", "a solid of the tables and the less soluble one that it turns into")
		}
	}
	return rows.err()
}

// checkComplexes verifies what a ligand makes, at 25 °C and 0.1 mol/L: each further proton is held
// less firmly than the last, and one metal ion makes no weaker a complex with n of it than with n −
// 1, unless a note says "weaker: " and why.
func (t *Tables) checkComplexes([]fs.FS) error {
	type complex struct{ ligand, ligands, other, others int }
	proton := t.proton()
	made := func(f Formation) (at complex) {
		if f.Species.Phase == chem.Aqueous && len(f.Coefficients) <= 2 {
			at.other = proton // the bare ligand is that with no proton
			for _, c := range f.Coefficients {
				if listed[Component](t).items[c.Component].Role == "ligand" {
					at.ligand, at.ligands = c.Component, int(c.N)
				} else {
					at.other, at.others = c.Component, int(c.N)
				}
			}
		}
		return at
	}
	const bath = 0.1                 // mol/L
	overall := map[complex]float64{} // log10 K
	for _, f := range t.formations {
		overall[made(f)] = f.Constant.Log10K(chem.ReferenceTemperature, bath)
	}
	var errs []error
	for _, f := range t.formations {
		at := made(f)
		k := overall[at]
		one, ok := overall[complex{at.ligand, 1, at.other, at.others - 1}]
		two, ok2 := overall[complex{at.ligand, 1, at.other, at.others - 2}]
		less, ok3 := overall[complex{at.ligand, at.ligands - 1, at.other, 1}]
		switch {
		case at.other == proton && at.ligands == 1 && ok && ok2 && k-one >= one-two:
			errs = append(errs, badData("proton of "+f.Species.String(), fmt.Sprintf("held with log10 K = %.2f", k-one), fmt.Sprintf("less than that of the one before, %.2f", one-two)))
		case at.other != proton && at.ligands > 1 && at.others == 1 && ok3 && k < less:
			i := f.Steps[0].Equilibrium
			if !slices.ContainsFunc(t.equilibria[i].Observations, func(o chem.Observation) bool { return strings.Contains(o.Note, "weaker: ") }) {
				errs = append(errs, t.badEquilibrium(i, fmt.Sprintf("an overall constant above the %.2f of one ligand less, or \"weaker: \" and the reason in a note", less)))
			}
		}
	}
	return errors.Join(errs...)
}
