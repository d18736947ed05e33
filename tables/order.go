package tables

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"slices"
	"strings"

	"example.com/chelation/chem"
)

// checkOrder verifies the solids in solid-orders.csv, each of which is less soluble
// at 25 °C than the one before.
func (t *Tables) checkOrder(files []fs.FS) error {
	rows := t.read(files, "solid-orders.csv")
	for _, r := range rows.rows {
		r.sources()
		var last Formation
		names := r.list("sequence")
		if len(names) < 2 {
			r.fail("sequence", "two solids or more")
		}
		for k, name := range names {
			solid, err := t.Solid(name)
			if err != nil {
				r.fail("sequence", err.Error())
				break
			}
			f := t.formations[t.bySpecies[solid.Species.String()]]
			if k > 0 && !moreStable(f, last) {
				r.fail("sequence", fmt.Sprintf("solids of falling solubility of the same make-up; %s is not below %s", f.Species, last.Species))
			}
			last = f
		}
	}
	return rows.err()
}

// moreStable reports whether solid f is less soluble than g, per unit of the
// first component that is not the proton. They must be made of the same
// components in the same proportions, water apart.
func moreStable(f, g Formation) bool {
	k := f.Coefficients[len(f.Coefficients)-1].Component
	ratio := g.Of(k) / f.Of(k)
	if len(f.Coefficients) != len(g.Coefficients) {
		return false
	}
	for _, c := range f.Coefficients {
		if math.Abs(ratio*c.N-g.Of(c.Component)) > 1e-9 {
			return false
		}
	}
	return ratio*f.Constant.LogK > g.Constant.LogK
}

// checkComplexes verifies what a ligand makes, at 25 °C and 0.1 mol/L: each further
// proton is held less firmly than the last, and one metal ion makes no weaker a complex
// with n of it than with n − 1, unless a note says "weaker: " and why.
func (t *Tables) checkComplexes([]fs.FS) error {
	type complex struct{ ligand, ligands, other, others int }
	overall := map[complex]float64{} // log10 K
	made := map[complex]Formation{}
	for _, f := range t.formations {
		if f.Species.Phase != chem.Aqueous || len(f.Coefficients) > 2 {
			continue
		}
		at := complex{other: t.proton()} // the bare ligand is that with no proton
		for _, c := range f.Coefficients {
			if listed[Component](t).items[c.Component].Role == "ligand" {
				at.ligand, at.ligands = c.Component, int(c.N)
			} else {
				at.other, at.others = c.Component, int(c.N)
			}
		}
		if at.ligands > 0 {
			overall[at], made[at] = f.Constant.Log10K(chem.ReferenceTemperature, 0.1), f
		}
	}
	var errs []error
	for at, k := range overall {
		if at.other == t.proton() {
			one, ok := overall[complex{at.ligand, 1, at.other, at.others - 1}]
			two, ok2 := overall[complex{at.ligand, 1, at.other, at.others - 2}]
			if at.ligands == 1 && ok && ok2 && k-one >= one-two {
				errs = append(errs, badData("proton of "+made[at].Species.String(), fmt.Sprintf("held with log10 K = %.2f", k-one), fmt.Sprintf("less than that of the one before, %.2f", one-two)))
			}
			continue
		}
		less, ok := overall[complex{at.ligand, at.ligands - 1, at.other, 1}]
		if at.others != 1 || !ok || k >= less {
			continue
		}
		e := t.equilibria[made[at].Steps[0].Equilibrium]
		if !slices.ContainsFunc(e.Observations, func(o chem.Observation) bool { return strings.Contains(o.Note, "weaker: ") }) {
			errs = append(errs, badData(e.Table+".csv", e.Reaction.String(), fmt.Sprintf("an overall constant above the %.2f of one ligand less, or \"weaker: \" and the reason in a note", less)))
		}
	}
	slices.SortFunc(errs, func(a, b error) int { return strings.Compare(a.Error(), b.Error()) })
	return errors.Join(errs...)
}
