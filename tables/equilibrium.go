package tables

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"iter"
	"math"
	"path"
	"slices"
	"strings"

	"example.com/chelation/chem"
)

// Equilibrium is one reaction with the constant fitted to its published values. Its observations
// carry their sources and residuals.
type Equilibrium struct {
	chem.Fitted
	Table   string `json:"table"`             // the data file without its ending: edta, citrate, hydroxide ...
	Missing string `json:"missing,omitempty"` // of [Tables.Unused]: a species that the tables lack
}

func (t *Tables) loadEquilibria(files []fs.FS) error {
	var errs []error
	for _, fsys := range files {
		names, _ := fs.Glob(fsys, "constants/*.csv") // fails by its pattern alone
		for _, file := range names {
			errs = append(errs, t.loadConstants([]fs.FS{fsys}, file))
		}
	}
	return errors.Join(errs...)
}

// loadConstants reads and fits the reactions of one file. The constants of a strong chelant stand
// in a file of its symbol, since they are corrected for its pairs with sodium and potassium: see
// the overview.
func (t *Tables) loadConstants(files []fs.FS, file string) error {
	rows := t.read(files, file)
	table := strings.TrimSuffix(path.Base(file), ".csv")
	all := rows.series()
	ligand, pairing := t.pairedLigand(table, all)
	for _, s := range all {
		for _, c := range listed[Component](t).items {
			if c.Class == StrongChelant && !c.Species.Equal(ligand) && s.used() && s.reaction.Coefficient(c.Species) != 0 {
				s.rows[0].fail("reaction", "rows of "+c.Species.String()+" in a file of its symbol or name")
			}
		}
	}
	if err := rows.err(); err != nil {
		return err
	}
	pairs := map[string]chem.Constant{} // by cation
	for _, e := range t.equilibria {
		pairs[pairCation(e.Reaction, ligand)] = e.Constant
	}
	if pairing { // the pairs come first: the other reactions lean on them
		bare := func(s series) int { return min(len(pairCation(s.reaction, ligand)), 1) }
		slices.SortStableFunc(all, func(a, b series) int { return bare(b) - bare(a) })
	}
	for _, s := range all {
		if pairing && pairCation(s.reaction, ligand) == "" {
			s.shift(ligand, pairs)
		}
		k, n, hydroxides := t.kindOf(s.reaction, pairing)
		if !s.used() {
			s.judge(k, n, hydroxides, chem.Fitted{})
			t.unused = append(t.unused, Equilibrium{Fitted: chem.Fitted{Reaction: s.reaction, Observations: s.observations}, Table: table})
			continue
		}
		f, err := chem.Fit(s.reaction, s.observations, k.prior(n, hydroxides))
		if err != nil {
			s.rows[0].refuse("reaction", "values that determine a constant", err)
			continue
		}
		s.judge(k, n, hydroxides, f)
		t.equilibria = append(t.equilibria, Equilibrium{Fitted: f, Table: table})
		t.lines = append(t.lines, s.rows[0].line)
		pairs[pairCation(s.reaction, ligand)] = f.Constant
	}
	return rows.err()
}

// series is the rows of one reaction.
type series struct {
	rows         []row
	reaction     chem.Reaction
	observations []chem.Observation
}

// series gathers the observations of each reaction, in the order of the file.
func (rows *reader) series() []series {
	place := map[string]int{} // of a reaction among the series
	for _, r := range rows.rows {
		key := r.text("reaction")
		if _, ok := place[key]; !ok {
			place[key] = len(place)
		}
	}
	slices.SortStableFunc(rows.rows, func(a, b row) int { return place[a.optionalText("reaction")] - place[b.optionalText("reaction")] })
	observations := make([]chem.Observation, len(rows.rows))
	all := make([]series, 0, len(place))
	for i, r := range rows.rows {
		if k := place[r.optionalText("reaction")]; k == len(all) {
			all = append(all, series{rows.rows[i:i], r.reaction("reaction"), observations[i:i]})
		}
		s := &all[len(all)-1]
		o := r.observation()
		if slices.ContainsFunc(s.observations, func(other chem.Observation) bool {
			other.Uncertainty, other.Used, other.Note = o.Uncertainty, o.Used, o.Note
			return other == o
		}) {
			r.fail("reaction", "rows that differ")
		}
		s.rows, s.observations = append(s.rows, r), append(s.observations, o)
	}
	return all
}

func (r row) observation() chem.Observation {
	o := chem.Observation{
		Quantity:                 oneOf(r, "quantity", chem.Log10K, chem.Enthalpy),
		TemperatureC:             r.number("temperature_c", 0, 100),
		IonicStrengthMolPerLitre: r.number("ionic_strength_mol_l", 0, 12),
		Medium:                   r.medium(),
		Used:                     oneOf(r, "use", "fit", "hold") == "fit",
		Note:                     r.optionalText("note"),
	}
	if keys := r.sources(); len(keys) > 0 {
		o.Source = keys[0]
	}
	unit, low, high := 1.0, -250.0, 350.0
	if o.Quantity == chem.Enthalpy {
		unit, low, high = 1000, -700, 500 // kJ to J
	}
	o.Value = unit * r.number("value", low, high)
	if r.optionalText("uncertainty") != "" {
		o.Uncertainty = unit * r.number("uncertainty", 0, 50)
	}
	if !o.Used && !strings.Contains(o.Note, "held: ") {
		r.fail("note", "\"held: \" and the reason why the row is not used")
	}
	return o
}

// medium reads the background: a salt or its cation, in which R is an alkyl group that the source
// leaves open.
func (r row) medium() string {
	text := r.optionalText("medium")
	if text == "" {
		return text
	}
	f, err := r.notation.ParseFormula(strings.ReplaceAll(text, "R4N", "(CH3)4N"))
	odd := f.Charge() < 0 || f.Charge() > 1 || math.Mod(f.Electrons(), 2) != 0 || f.Count("Na")+f.Count("K") > 1
	if err != nil || odd {
		r.fail("medium", "the formula of a 1:1 salt, as NaClO4, or of its cation, as K+ or R4N+")
	}
	return text
}

func (s *series) used() bool {
	return slices.ContainsFunc(s.observations, func(o chem.Observation) bool { return o.Used })
}

// pairedLigand returns the ligand of a table, by its symbol or a name, and whether it is strong or
// pairs with Na+ or K+.
func (t *Tables) pairedLigand(table string, all []series) (chem.Species, bool) {
	components := listed[Component](t)
	i, ok := components.at[plain(table)]
	if !ok {
		i = slices.IndexFunc(components.items, func(c Component) bool { return strings.TrimRight(c.Species.String(), "^0123456789-") == table })
	}
	if i < 0 {
		return chem.Species{}, false
	}
	c := components.items[i]
	return c.Species, c.Class == StrongChelant || slices.ContainsFunc(all, func(s series) bool { return s.used() && pairCation(s.reaction, c.Species) != "" })
}

// pairCation returns Na+ or K+ if the reaction is the 1:1 pairing of that ion with the ligand.
func pairCation(r chem.Reaction, ligand chem.Species) string {
	if len(r.Terms) == 3 && r.Coefficient(ligand) == -1 {
		for _, term := range r.Terms {
			if name := term.Species.String(); term.Coefficient == -1 && (name == "Na+" || name == "K+") {
				return name
			}
		}
	}
	return ""
}

// shift corrects observations in sodium and potassium salts for the pairs with the free ligand: its
// apparent concentration there is 1 + K c larger than the bare one, with c the cation's
// concentration, equal to the ionic strength of a 1:1 salt. Where the source names no medium it is
// taken to be a potassium salt, the most usual one.
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
			pair := 1 + math.Pow(10, k.Log10K(chem.Celsius(o.TemperatureC), o.IonicStrengthMolPerLitre))*o.IonicStrengthMolPerLitre
			o.Shift = -free * math.Log10(pair)
		}
	}
}

// Equilibria yields the fitted reactions in the order of the data files.
func (t *Tables) Equilibria() iter.Seq[Equilibrium] { return copies(cmp.Or(t, none).equilibria) }

// badEquilibrium tells the file and line where a fitted reaction begins.
func (t *Tables) badEquilibrium(i int, want string) error {
	e := t.equilibria[i]
	return badData(fmt.Sprintf("constants/%s.csv line %d, column reaction", e.Table, t.lines[i]), e.Reaction.String(), want)
}

// EquilibriumAt returns the fitted reaction of a [Step]; false if there is none.
func (t *Tables) EquilibriumAt(index int) (Equilibrium, bool) {
	if index < 0 || index >= len(cmp.Or(t, none).equilibria) {
		return Equilibrium{}, false
	}
	return Copy(t.equilibria[index]), true
}

// Unused yields the reactions all of whose rows are held, in the order of the data files: another
// reaction makes the same species, or the species is left out. Their constants are those that the
// fitted reactions add up to, so that the residuals show how far the held rows lie off. Where
// Missing names a species there are neither.
func (t *Tables) Unused() iter.Seq[Equilibrium] { return copies(cmp.Or(t, none).unused) }

// imply gives the unused reactions the constants that the others add up to.
func (t *Tables) imply([]fs.FS) error {
	for i := range t.unused {
		e := &t.unused[i]
		if e.Constant, e.Missing = t.sum(e.Reaction); e.Missing != "" {
			continue
		}
		for k := range e.Observations {
			e.Observations[k].Residual = e.Residual(e.Observations[k])
		}
	}
	return nil
}
