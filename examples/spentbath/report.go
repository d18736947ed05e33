package main

import (
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/titration"
)

// figures lists the results with their units, for the CSV and the table.
func (r *result) figures() []struct {
	id, name, unit string
	titration.Result
} {
	return []struct {
		id, name, unit string
		titration.Result
	}{
		{"concentration_mol_per_l", "free chelant", "mol/L", r.Free.ConcentrationMolPerLitre},
		{"amount_mol", "in the whole bath", "mol", r.Free.AmountMoles},
		{"iron_g", "iron it can still bind", "g", r.Free.IronGrams},
		{"rust_g", "rust, as FeO(OH)", "g", r.Free.RustGrams},
	}
}

func (r *result) table() *cli.Table {
	if r.AtMost != nil {
		return &cli.Table{
			Columns: []string{"free_chelant_at_most_mol_per_l", "rust_at_most_g"},
			Rows:    [][]any{{r.AtMost.MolPerLitre, r.AtMost.RustGrams}},
		}
	}
	t := &cli.Table{Columns: []string{"id", "quantity", "unit", "value", "standard_uncertainty"}}
	for _, f := range r.figures() {
		t.Add(f.id, f.name, f.unit, f.Value, f.Standard)
	}
	return t
}

func (r *result) tell(w *cli.Pen) {
	if r.Doubt != "" {
		w.Line("%s\n", r.Doubt)
	}
	if r.AtMost != nil {
		w.Line("No free chelant shows: the bath is spent. What a drop counts leaves at most %s mol/L, which is %s of rust in %s.",
			cli.Round(r.AtMost.MolPerLitre), measure.FormatGrams(r.AtMost.RustGrams), measure.FormatVolume(r.bath))
		w.Line("Next: a new bath. To see less than that, take more bath for the test, or a kit with finer drops.")
	} else {
		r.measured(w)
	}
	w.Head("Take care")
	for _, c := range r.Cautions {
		w.Line("  %s", c)
	}
}

// measured tells what was found, and how well.
func (r *result) measured(w *cli.Pen) {
	rust := r.Free.RustGrams
	w.Line("Next: go on with this bath; it has room for %s of rust, give or take %s. Test it again when half of that has gone in.\n",
		measure.FormatGrams(rust.Value), measure.FormatGrams(2*rust.Standard))
	w.Line("A bath of %s can still bind", measure.FormatVolume(r.bath))
	for _, f := range r.figures() {
		w.Line("  %s %s  (%s)", f.Result, f.unit, f.name)
	}
	w.Line("  ± is one standard uncertainty, %.0f %%; twice that holds the truth 19 times in 20.", 100*r.Relative)
	w.Head("Where the uncertainty comes from")
	for _, p := range r.parts {
		w.Line("  %4.1f %%  %s", 100*p.Standard/r.Free.ConcentrationMolPerLitre.Value, p.Source)
	}
	if i := r.Interference; i != nil {
		w.Head("Iron in a calcium titration at pH 10")
		say := func(what string, x *float64) {
			if x == nil {
				w.Line("  %s: the indicator does not turn", what)
				return
			}
			w.Line("  %s: %.3g mol/L, %+.1f %%", what, *x, 100*(*x/r.Free.ConcentrationMolPerLitre.Value-1))
		}
		say("done within minutes", i.QuickMolPerLitre)
		say("left until the iron has settled", i.SlowMolPerLitre)
	}
	if r.Schemes != nil {
		w.Head("How to measure it with calcium")
	}
	for _, s := range r.Schemes {
		source, _ := s.Result.Dominant()
		note := ""
		if !s.Meets {
			note = ", not as well as wanted"
		}
		w.Line("  %s; %g mol/L from a %s, about %s: ±%.1f %%%s; most of it %s",
			s.SampleWith, s.StrengthMolPerLitre, s.With, measure.FormatVolume(unit.Volume(s.TitrantML)*measure.Millilitre), 100*s.Result.Relative(), note, source)
	}
}
