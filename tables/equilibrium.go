package tables

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"path"
	"slices"
	"strings"

	"example.com/chelation/chem"
)

// Equilibrium is one reaction with the constant fitted to its published
// values. Its observations carry their sources and residuals; those that are
// held tell the reason in their note, after "held: ".
type Equilibrium struct {
	chem.Fitted
	Table string // the data file without its ending: edta, citrate, hydroxide ...
}

var constantsHeader = []string{"reaction", "quantity", "temperature_c", "ionic_strength_mol_l", "medium",
	"value", "uncertainty", "use", "source", "note"}

// paired lists the ligands whose binding of Na+ and K+ is carried as species of
// its own. Their constants are those in tetraalkylammonium salts; values from
// sodium and potassium salts are corrected for the pairs. The weaker pairs of
// other anions are left to the Debye–Hückel term and to constants measured in
// sodium salts, where they would otherwise count twice.
var paired = []string{"edta", "nta", "dtpa", "hedta"}

// Defaults of Δε per Δz² in L/mol, for reactions whose data sit at one ionic
// strength: the medians of the reactions whose data determine it, rounded. The
// tables of paired ligands, whose values hold for salts that do not pair, have
// the steeper one.
const (
	epsPerZ2       = 0.05
	epsPerZ2Paired = 0.08
)

func (t *Tables) loadEquilibria(fsys fs.FS) error {
	files, err := fs.Glob(fsys, "constants/*.csv")
	if err != nil {
		return err
	}
	if len(files) == 0 {
		return fmt.Errorf("%w: no constants/*.csv", ErrData)
	}
	var errs []error
	for _, file := range files {
		errs = append(errs, t.loadConstants(fsys, file))
	}
	return errors.Join(errs...)
}

// series is the observations of one reaction.
type series struct {
	row          row // the first
	reaction     chem.Reaction
	observations []chem.Observation
}

func (t *Tables) loadConstants(fsys fs.FS, file string) error {
	rows, err := readCSV(fsys, file, constantsHeader...)
	if err != nil {
		return err
	}
	table := strings.TrimSuffix(path.Base(file), ".csv")
	var all []*series
	index := map[string]*series{}
	seen := map[string]bool{}
	for _, r := range rows.rows {
		o := t.observation(r)
		key := r.text("reaction")
		s := index[key]
		if s == nil {
			s = &series{row: r, reaction: r.reaction("reaction")}
			index[key] = s
			all = append(all, s)
		}
		s.observations = append(s.observations, o)
		id := fmt.Sprint(key, o.Quantity, o.Temperature, o.IonicStrength, o.Medium, o.Source, o.Value)
		if seen[id] {
			r.fail("reaction", "rows that differ")
		}
		seen[id] = true
	}
	if err := rows.err(); err != nil {
		return err
	}
	pairs := map[string]chem.Constant{} // medium cation to pair constant, where the ligand has them
	ligand, pairing := pairedLigand(table)
	slope := epsPerZ2
	if pairing {
		slope = epsPerZ2Paired
	}
	// The pairs come first: the other reactions lean on them.
	for pass := range 2 {
		for _, s := range all {
			cation := ""
			if pairing {
				cation = s.pairCation(ligand)
			}
			if (cation != "") != (pass == 0) {
				continue
			}
			if pass == 1 && pairing {
				s.shift(ligand, pairs)
			}
			if !s.used() {
				t.unused = append(t.unused, Equilibrium{chem.Fitted{Reaction: s.reaction, Observations: s.observations}, table})
				continue
			}
			f, err := chem.Fit(s.reaction, s.observations, slope)
			if err != nil {
				s.row.fail("reaction", fmt.Sprintf("values that determine a constant (%v)", err))
				continue
			}
			if cation != "" {
				pairs[cation] = f.Constant
			}
			t.equilibria = append(t.equilibria, Equilibrium{f, table})
		}
	}
	return rows.err()
}

func (t *Tables) observation(r row) chem.Observation {
	o := chem.Observation{
		Temperature:   chem.Celsius(r.number("temperature_c", 0, 100)),
		IonicStrength: r.number("ionic_strength_mol_l", 0, 5),
		Medium:        r.optionalText("medium"),
		Used:          r.oneOf("use", "fit", "hold") == "fit",
		Note:          r.optionalText("note"),
	}
	if keys := t.sourceKeys(r); len(keys) > 0 {
		o.Source = keys[0]
	}
	unit, low, high := 1.0, -250.0, 350.0
	if r.oneOf("quantity", "log K", "enthalpy") == "enthalpy" {
		o.Quantity = chem.Enthalpy
		unit, low, high = 1000, -700, 500 // kJ to J
	}
	o.Value = unit * r.number("value", low, high)
	if u, ok := r.optional("uncertainty"); ok {
		if u < 0 || u > 50 {
			r.fail("uncertainty", "a number from 0 to 50")
		}
		o.Uncertainty = unit * u
	}
	if !o.Used && !strings.Contains(o.Note, "held: ") {
		r.fail("note", "\"held: \" and the reason why the row is not used")
	}
	if o.Medium != "" && !knownMedia[o.Medium] {
		r.fail("medium", "a known background salt or its cation, or nothing")
	}
	return o
}

var knownMedia = map[string]bool{
	"Na+": true, "K+": true, "NH4+": true, "R4N+": true, "NaCl": true, "NaClO4": true, "NaNO3": true,
	"KCl": true, "KNO3": true, "LiClO4": true, "NH4NO3": true,
}

func (s *series) used() bool {
	for _, o := range s.observations {
		if o.Used {
			return true
		}
	}
	return false
}

// pairedLigand returns the bare anion of a table whose Na+ and K+ pairs are
// carried, and whether there is one.
func pairedLigand(table string) (chem.Species, bool) {
	for a := range chem.Abbreviations() {
		if a.Symbol == table && slices.Contains(paired, table) {
			return chem.Species{Formula: a.Anion}, true
		}
	}
	return chem.Species{}, false
}

// pairCation returns Na+ or K+ if the series is the 1:1 pairing of that ion
// with the ligand.
func (s *series) pairCation(ligand chem.Species) string {
	if len(s.reaction.Terms) != 3 || s.reaction.Coefficient(ligand) != -1 {
		return ""
	}
	for _, term := range s.reaction.Terms {
		if name := term.Species.String(); term.Coefficient == -1 && (name == "Na+" || name == "K+") {
			return name
		}
	}
	return ""
}

// shift corrects observations in sodium and potassium salts for the pairs with
// the free ligand: its apparent concentration there is 1 + K c larger than the
// bare one, with c the cation's concentration, equal to the ionic strength of
// a 1:1 salt. Where the source names no medium it is taken to be a potassium
// salt, the most usual one.
func (s *series) shift(ligand chem.Species, pairs map[string]chem.Constant) {
	free := s.reaction.Coefficient(ligand)
	for i := range s.observations {
		o := &s.observations[i]
		cation := "K+"
		switch {
		case strings.HasPrefix(o.Medium, "Na"):
			cation = "Na+"
		case o.Medium != "" && !strings.HasPrefix(o.Medium, "K"):
			continue
		}
		if k, ok := pairs[cation]; ok && o.Quantity == chem.Log10K {
			pair := 1 + math.Pow(10, k.Log10K(o.Temperature, o.IonicStrength))*o.IonicStrength
			o.Shift = -free * math.Log10(pair)
		}
	}
}

// Equilibria returns the fitted reactions in the order of the data files.
func (t *Tables) Equilibria() []Equilibrium { return slices.Clone(t.equilibria) }

// Unused returns the reactions all of whose rows are held, in the order of the
// data files: another reaction makes the same species, or the species is left
// out. Their constants are those that the fitted reactions add up to, so that
// the residuals show how far the held rows lie off; NaN where the tables lack
// one of the species.
func (t *Tables) Unused() []Equilibrium { return slices.Clone(t.unused) }

// imply gives the unused reactions the constants that the others add up to.
func (t *Tables) imply(fs.FS) error {
	for i := range t.unused {
		e := &t.unused[i]
		var missing string
		if e.Constant, missing = t.sum(e.Reaction); missing != "" {
			e.Constant = chem.Constant{LogK: math.NaN(), DeltaH: math.NaN()}
		}
		for k := range e.Observations {
			o := &e.Observations[k]
			if o.Quantity == chem.Enthalpy {
				o.Residual = o.Value - e.Enthalpy(o.Temperature, o.IonicStrength)
			} else {
				o.Residual = o.Value + o.Shift - e.Log10K(o.Temperature, o.IonicStrength)
			}
		}
	}
	return nil
}
