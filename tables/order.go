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

// checkOrder verifies what must come in order at 25 °C: the protons of each
// ligand, of which every further one is held less firmly than the last (at an
// ionic strength of 0.1 mol/L), and the solids in solid-orders.csv, each of
// which is less soluble than the one before.
func (t *Tables) checkOrder(files []fs.FS) error {
	if err := t.checkProtonation(); err != nil {
		return err
	}
	rows, err := t.read(files, "solid-orders.csv", "sequence", "source", "note")
	if err != nil {
		return err
	}
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

// checkProtonation walks the protonated forms of each ligand.
func (t *Tables) checkProtonation() error {
	for i, c := range t.components.items {
		if c.Role != "ligand" {
			continue
		}
		forms, err := t.Between(c.Species.String())
		if err != nil {
			return err
		}
		last, step := math.Inf(1), math.Inf(1)
		before := 0.0
		for k := len(forms) - 1; k >= 0; k-- { // rising protons
			f := forms[k]
			if f.Species.Phase != chem.Aqueous || f.Of(i) != 1 {
				continue
			}
			protons := f.Of(t.proton())
			if protons != 0 && before == protons-1 && !math.IsInf(last, 0) {
				next := f.Constant.Log10K(chem.ReferenceTemperature, 0.1) - last
				if next >= step {
					return badData("proton of "+f.Species.String(), fmt.Sprintf("held with log10 K = %.2f", next), fmt.Sprintf("less than that of the one before, %.2f", step))
				}
				step = next
			}
			last, before = f.Constant.Log10K(chem.ReferenceTemperature, 0.1), protons
		}
	}
	return nil
}

// checkComplexes verifies that one metal ion with n of a ligand makes no weaker a
// complex than with n-1, unless a note says "weaker: " and why.
func (t *Tables) checkComplexes([]fs.FS) error {
	type complex struct{ metal, ligand, n int }
	overall := map[complex]float64{} // log10 K at 25 °C and 0.1 mol/L
	made := map[complex]Formation{}
	for _, f := range t.formations {
		if len(f.Coefficients) != 2 || f.Species.Phase != chem.Aqueous {
			continue
		}
		m, l := f.Coefficients[0], f.Coefficients[1]
		if t.components.items[m.Component].Role != "metal" {
			m, l = l, m
		}
		if m.N == 1 && l.N > 0 && t.components.items[m.Component].Role == "metal" && t.components.items[l.Component].Role == "ligand" {
			at := complex{m.Component, l.Component, int(l.N)}
			overall[at], made[at] = f.Constant.Log10K(chem.ReferenceTemperature, 0.1), f
		}
	}
	var errs []error
	for at, k := range overall {
		less, ok := overall[complex{at.metal, at.ligand, at.n - 1}]
		e := t.equilibria[made[at].Steps[0].Equilibrium]
		if ok && k < less && !slices.ContainsFunc(e.Observations, func(o chem.Observation) bool { return strings.Contains(o.Note, "weaker: ") }) {
			errs = append(errs, badData(e.Table+".csv", e.Reaction.String(),
				fmt.Sprintf("an overall constant above the %.2f of one ligand less, or \"weaker: \" and the reason in a note", less)))
		}
	}
	slices.SortFunc(errs, func(a, b error) int { return strings.Compare(a.Error(), b.Error()) })
	return errors.Join(errs...)
}
