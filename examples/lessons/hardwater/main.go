// Command hardwater shows the toll of hard water.
//
// EDTA softens water: calcium and magnesium of the tap go into the chelant one
// for one, before any rust does. In a bath of the usual strength that is a few
// per cent. In a thin one it can be half of the chelant: the water takes its
// share by the litre and not by the gram of salt.
//
// Alkalinity, the other number on the test strip, takes acid and no chelant.
// Hardness gives acid back: calcium pushes the last proton off Hedta3-. That is
// why hard water, alkaline as it is, needs less acid and not more. Softened water
// has lost its calcium and kept its alkalinity.
package main

import (
	"io"

	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/tables"
)

func main() { cli.Main("hardwater", run) }

func run(args []string, out, diagnostics io.Writer) error {
	f, format := cli.Flags("hardwater", "shows the toll of hard water.", out)
	recipe := cli.Recipe(f)
	thin := f.String("thin", "50 g", "of the salt in the thin bath to compare")
	t, in, err := cli.Begin(f, args)
	if err != nil {
		return err
	}
	r := recipe(t, in)
	little := cli.Flag(in, "thin", *thin, measure.ParseAmount)
	if in.Err != nil {
		return in.Err
	}
	usual := r.Amount

	l := &cli.Lesson{Table: cli.Table{
		Title:   "The same bath in different waters",
		Columns: []string{"water", "hardness_mg_per_l_caco3", "alkalinity_mg_per_l_caco3", "acid_g", "hardness_fraction", "rust_it_binds_g", "thin_hardness_fraction"},
	}}
	var least, most float64
	for w := range tables.All[tables.Water](t) {
		r.Water, r.Amount = w, usual
		plan, err := r.Plan(t)
		if err != nil {
			return err
		}
		r.Amount = little
		weak, err := r.Plan(t)
		if err != nil {
			return err
		}
		l.Add(w.ID, w.Hardness().CaCO3(), w.Alkalinity.CaCO3(), plan.Acid.MassGrams,
			plan.HardnessFraction, plan.Iron.RustGrams, weak.HardnessFraction)
		if most == 0 {
			least, most = plan.Iron.RustGrams, plan.Iron.RustGrams
		}
		least, most = min(least, plan.Iron.RustGrams), max(most, plan.Iron.RustGrams)
	}
	l.Remark("The hardest of these waters costs the bath %.0f g of rust that it could have bound; softening or rain water saves that, and no more.", most-least)
	return l.Write(out, format)
}
