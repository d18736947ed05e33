package main

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// kinds are the tables that can be asked for.
var kinds = map[string]func(question, *answer){
	"fits":           fits,
	"observations":   observations,
	"species":        allSpecies,
	"components":     components,
	"solids":         solids,
	"sources":        sources,
	"reagents":       reagents,
	"waters":         waters,
	"hazards":        hazards,
	"hardness-units": hardnessUnits,
	"indicators":     indicators,
	"strips":         strips,
	"dispensers":     dispensers,
	"rusts":          rusts,
	"rust-phases":    rustPhases,
	"corrosivity":    corrosivity,
	"couples":        couples,
	"materials":      materials,
	"practice":       practice,
	"inhibitors":     inhibitors,
	"baking":         baking,
}

func (q question) table(name string) (*answer, error) {
	names := slices.Sorted(maps.Keys(kinds))
	fill, ok := kinds[strings.ToLower(name)]
	if !ok {
		want := "one of the tables that are listed without it"
		if near := chem.Nearest(name, slices.Values(names)); len(near) > 0 {
			want += ", such as " + near[0]
		}
		return nil, &chem.InputError{Field: "table", Value: chem.Echo(name), Want: want, Kind: tables.ErrNotFound}
	}
	a := &answer{}
	fill(q, a)
	return a, nil
}

// overview lists the tables and how long they are.
func (q question) overview() (*answer, error) {
	all := &answer{}
	all.Title = "Tables: print one with -table"
	all.Columns = []string{"table", "row_count", "what"}
	for _, name := range slices.Sorted(maps.Keys(kinds)) {
		a, err := q.table(name)
		if err != nil {
			return nil, err
		}
		all.Add(name, len(a.Rows), a.Title)
	}
	return all, nil
}

// spread writes a range with its unit told in the column.
func spread(r tables.Range) string {
	short := func(x float64) string { return strconv.FormatFloat(x, 'g', 4, 64) }
	if r == (tables.Range{}) {
		return ""
	}
	return fmt.Sprintf("%s (%s to %s)", short(r.Typical), short(r.Low), short(r.High))
}

func list(s []string) string { return strings.Join(s, "; ") }

func components(q question, a *answer) {
	a.Title = "Components: what all species are made of"
	a.Columns = []string{"species", "name", "role", "synonyms"}
	for _, c := range q.Components() {
		a.Add(c.Species.String(), c.Name, c.Role, list(c.Synonyms))
	}
}

func solids(q question, a *answer) {
	a.Title = "Solids, with log10 of the constant of their dissolution into the components, at " + q.at()
	a.Columns = []string{"species", "name", "log10_k_of_dissolution", "sigma", "molar_mass_g_per_mol", "density_g_per_cm3", "forms", "dissolution", "source", "note"}
	for s := range tables.All[tables.Solid](q.Tables) {
		f, err := q.Formation(s.Species.String())
		if err != nil {
			continue // cannot be: loading demands it
		}
		made, formed, _ := strings.Cut(q.formation(f), " = ")
		keys := slices.Clone(s.Sources)
		for _, step := range f.Steps[:1] {
			e, _ := q.EquilibriumAt(step.Equilibrium)
			keys = append(keys, used(e)...)
		}
		density := any("")
		if s.DensityKgPerM3 > 0 {
			density = s.DensityKgPerM3 / 1000
		}
		a.Add(s.Species.String(), s.Name, logK(-f.Constant.Log10K(q.temperature, q.ionic)), decimal{f.Constant.Sigma(q.temperature, q.ionic), 2},
			decimal{s.Species.Formula.MolarMass(), 3}, density, string(s.Forms), formed+" = "+made, a.cite(keys...), s.Note)
	}
}

func sources(q question, a *answer) {
	a.Title = "Sources"
	a.Columns = []string{"key", "access", "citation", "note"}
	for s := range tables.All[tables.Source](q.Tables) {
		a.Add(s.Key, s.Access, s.Citation, s.Note)
	}
}

func reagents(q question, a *answer) {
	a.Title = "Reagents as sold"
	a.Columns = []string{"id", "name", "formula", "molar_mass_g_per_mol", "assay_fraction", "excess_base_mol_per_mol", "form", "chelation_value_mg_per_g", "hazards", "source", "note"}
	for r := range tables.All[tables.Reagent](q.Tables) {
		a.Add(r.ID, r.Name, r.Formula.String(), decimal{r.Formula.MolarMass(), 2}, spread(r.Assay), spread(r.ExcessBase), string(r.Form),
			spread(r.ChelationValue()), list(r.Hazards), a.cite(r.Sources...), r.Note)
	}
}

func waters(q question, a *answer) {
	a.Title = "Waters; ions in mol/L"
	a.Columns = []string{"id", "name", "ph", "hardness", "alkalinity", "ions", "source", "note"}
	for w := range tables.All[tables.Water](q.Tables) {
		var ions []string
		for _, i := range w.Ions {
			ions = append(ions, fmt.Sprintf("%s %.3g", i.Species, i.MolPerLitre))
		}
		a.Add(w.ID, w.Name, w.PH, w.Hardness().String(), w.Alkalinity.String(), list(ions), a.cite(w.Sources...), w.Note)
	}
}

func hazards(q question, a *answer) {
	a.Title = "Cautions; the label of the product and local rules stand above them"
	a.Columns = []string{"key", "signal", "caution", "mix", "standard", "source"}
	for h := range tables.All[tables.Hazard](q.Tables) {
		a.Add(h.ID, string(h.Signal), h.Caution, list(h.Mix), h.Standard, a.cite(h.Sources...))
	}
}

func hardnessUnits(q question, a *answer) {
	a.Title = "Units of hardness and alkalinity"
	a.Columns = []string{"id", "name", "symbols", "hardness_mol_per_l", "alkalinity_eq_per_l", "source", "note"}
	for u := range tables.All[tables.HardnessUnit](q.Tables) {
		a.Add(u.ID, u.Name, list(u.Synonyms), u.MolPerLitre, u.EquivalentsPerLitre, a.cite(u.Sources...), u.Note)
	}
}

func indicators(q question, a *answer) {
	a.Title = "Indicators"
	a.Columns = []string{"id", "name", "kind", "pka", "colours", "changes", "complexes", "conditions", "source", "note"}
	for x := range tables.All[tables.Indicator](q.Tables) {
		var pka, changes, complexes []string
		for _, p := range x.PKa {
			pka = append(pka, fmt.Sprint(p))
		}
		for _, c := range x.Changes {
			changes = append(changes, fmt.Sprintf("%g to %g", c.LowPH, c.HighPH))
		}
		for _, c := range x.Complexes {
			complexes = append(complexes, fmt.Sprintf("%s %v %s", c.Metal, c.LogBeta, c.Colour))
		}
		a.Add(x.ID, x.Name, string(x.Kind), list(pka), list(x.Colours), list(changes), list(complexes), x.Conditions, a.cite(x.Sources...), x.Note)
	}
}

func strips(q question, a *answer) {
	a.Title = "Test strips and meters"
	a.Columns = []string{"id", "name", "quantity", "unit", "low", "high", "step", "reading_error", "source", "note"}
	for s := range tables.All[tables.Strip](q.Tables) {
		a.Add(s.ID, s.Name, s.Quantity, s.Unit, s.Low, s.High, s.Step, s.ReadingError, a.cite(s.Sources...), s.Note)
	}
}

func dispensers(q question, a *answer) {
	a.Title = "What measures a volume in a titration, with limits of error"
	a.Columns = []string{"id", "name", "serves", "capacity_ml", "tolerance_ml", "relative_limit", "step_ml", "source", "note"}
	for d := range tables.All[tables.Dispenser](q.Tables) {
		a.Add(d.ID, d.Name, d.Serves, d.CapacityML, d.ToleranceML, d.Relative, d.StepML, a.cite(d.Sources...), d.Note)
	}
}

func rusts(q question, a *answer) {
	a.Title = "Kinds of rust, as mass fractions of phases"
	a.Columns = []string{"id", "name", "constituents", "iron_fraction", "porosity", "density_kg_per_m3", "adherence", "source", "note"}
	for r := range tables.All[tables.Rust](q.Tables) {
		var parts []string
		for _, c := range r.Constituents {
			parts = append(parts, c.Phase.Name+" "+spread(c.Share))
		}
		a.Add(r.ID, r.Name, list(parts), spread(r.IronFraction()), spread(r.Porosity), spread(r.Density()), string(r.Adherence), a.cite(r.Sources...), r.Note)
	}
}

func rustPhases(q question, a *answer) {
	a.Title = "Phases of rust"
	a.Columns = []string{"id", "name", "formula", "molar_mass_g_per_mol", "density_kg_per_m3", "iron_fraction", "source", "note"}
	for p := range tables.All[tables.RustPhase](q.Tables) {
		a.Add(p.ID, p.Name, p.Formula.String(), decimal{p.Formula.MolarMass(), 2}, decimal{p.DensityKgPerM3, 0}, p.IronFraction(), a.cite(p.Sources...), p.Note)
	}
}

func corrosivity(q question, a *answer) {
	a.Title = "What bare steel loses in the first year"
	a.Columns = []string{"class", "category", "surroundings", "thinning_low_um", "thinning_high_um", "loss_low_g_per_m2", "loss_high_g_per_m2", "source"}
	for c := range tables.All[tables.Corrosivity](q.Tables) {
		a.Add(c.ID, c.Name, c.Surroundings, c.ThinningLowMicrometres, c.ThinningHighMicrometres, c.LossLowGramsPerM2, c.LossHighGramsPerM2, a.cite(c.Sources...))
	}
}

func couples(q question, a *answer) {
	a.Title = "Redox couples: standard potentials against the hydrogen electrode"
	a.Columns = []string{"id", "name", "oxidised", "reduced", "electrons", "potential_v", "uncertainty_v", "source", "note"}
	for c := range tables.All[tables.Couple](q.Tables) {
		a.Add(c.ID, c.Name, c.Oxidised.String(), c.Reduced.String(), c.Electrons(), logK(c.PotentialVolts), logK(c.UncertaintyVolts), a.cite(c.Sources...), c.Note)
	}
}

func materials(q question, a *answer) {
	a.Title = "Metals, coatings and parts by their everyday names, and what a bath does to them"
	a.Columns = []string{"id", "name", "synonyms", "groups", "couple", "admission", "low_ph", "high_ph", "is", "does", "do", "source", "note"}
	for m := range tables.All[tables.Material](q.Tables) {
		low, high := math.NaN(), math.NaN()
		if m.HighPH > 0 {
			low, high = m.LowPH, m.HighPH
		}
		a.Add(m.ID, m.Name, list(m.Synonyms), list(m.Groups), m.Couple, string(m.Admission), decimal{low, 1}, decimal{high, 1}, m.Is, m.Does, m.Do, a.cite(m.Sources...), m.Note)
	}
}

func practice(q question, a *answer) {
	a.Title = "What to do before, in and after the bath"
	a.Columns = []string{"id", "stage", "when", "do", "why", "source", "note"}
	for p := range tables.All[tables.Practice](q.Tables) {
		a.Add(p.ID, string(p.Stage), list(p.When), p.Do, p.Why, a.cite(p.Sources...), p.Note)
	}
}

func inhibitors(q question, a *answer) {
	a.Title = "Inhibitors of the last rinse"
	a.Columns = []string{"id", "name", "inhibitor_g_per_l", "low_ph", "does", "caution", "source", "note"}
	for i := range tables.All[tables.Inhibitor](q.Tables) {
		a.Add(i.ID, i.Name, spread(i.GramsPerLitre), i.LowPH, i.Does, i.Caution, a.cite(i.Sources...), i.Note)
	}
}

func baking(q question, a *answer) {
	a.Title = "Baking hard steel against hydrogen"
	a.Columns = []string{"id", "low_mpa", "high_mpa", "low_hrc", "high_hrc", "low_c", "high_c", "minimum_h", "source", "note"}
	for b := range tables.All[tables.Bake](q.Tables) {
		a.Add(b.ID, b.LowMPa, b.HighMPa, b.LowHRC, b.HighHRC, b.LowC, b.HighC, b.MinimumHours, a.cite(b.Sources...), b.Note)
	}
}
