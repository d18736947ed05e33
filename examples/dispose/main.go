// Command dispose asks what can be done with a used bath, and why none of it
// makes the water fit for a drain: acid brings down the free EDTA and leaves the
// iron; lye brings down the iron and leaves the EDTA, ready to pick up the next
// metal in the pipe; standing in air does neither.
//
// Collect a used bath and ask the local waste office; its rules, and those of
// your licence, come before anything said here.
package main

import (
	"cmp"
	"fmt"
	"io"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/care"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/tables"
)

func main() { cli.Main("dispose", run) }

func run(args []string, out, diagnostics io.Writer) error {
	f, format := cli.Flags("dispose", "asks what can be done with a used bath.", out,
		`dispose -volume "5 gal" -rust-taken "2 oz"`,
		`dispose -zinc "5 g" -json`)
	asked, oxide := cli.Recipe(f), cli.Oxide(f)
	rust := cli.Taken(f, "rust-taken", "50 g", "rust that the bath took up")
	zinc := f.String("zinc", "0 g", "from galvanised parts, that the bath took up as well")
	sour := f.String("acidify-with", "muriatic acid", "for the first treatment")
	alkaline := f.String("make-alkaline-with", "sodium hydroxide", "for the second")
	more := f.Bool("more", false, "tell what settles and what stays, in figures")
	t, in, err := cli.Begin(f, args)
	if err != nil {
		return err
	}
	r, o := asked(t, in), oxide(t, in)
	took := rust(in)
	plate := cli.Flag(in, "zinc", *zinc, measure.ParseMass)
	acid := cli.Flag(in, "acidify-with", *sour, t.Reagent)
	base := cli.Flag(in, "make-alkaline-with", *alkaline, t.Reagent)
	if in.Err != nil {
		return in.Err
	}
	tub, err := used(t, r, o, took, plate)
	if err != nil {
		return err
	}
	all, err := care.Recoveries(tub, acid, base)
	if err != nil {
		return err
	}
	table := &cli.Table{Columns: []string{"treatment", "reagent", "name", "mass_g", "ph", "chelant_acid_settled_g", "metal_hydroxides_settled_g", "iron_left_mg_per_l", "chelant_left_mg_per_l"}}
	for _, x := range all {
		left := 0.0
		for _, m := range x.MetalsLeftMgPerLitre {
			if m.Name == "Fe" {
				left = m.Value
			}
		}
		var dose solution.Portion
		reagent := "-"
		if x.Dose != nil {
			dose = *x.Dose
			reagent = dose.Reagent
		}
		table.Add(x.Name, reagent, cmp.Or(dose.Name, "-"), dose.MassGrams, x.PH, x.AcidSettledGrams, x.HydroxideSettledGrams, left, x.ChelantLeftMgPerLitre)
	}
	fates, err := care.Fates(tub)
	if err != nil {
		return err
	}
	return format.Answer(out, map[string]any{"treatments": all}, table, func(w *cli.Pen) {
		w.Line("Collect the used bath as it is and ask the local waste office; its rules, and those of your licence, come before anything said here. " +
			"A treatment makes more waste, not less, and where wastes are regulated may need a permit. What each would do:")
		for _, x := range all {
			by := ""
			if x.Dose != nil {
				by = fmt.Sprintf(" with %s of %s to pH %.1f", x.Dose.Text(), x.Dose.Name, x.PH)
			}
			w.Head(fmt.Sprintf("%s%s: %s", x.Name, by, x.Text))
		}
		if *more {
			w.Table(table)
		}
		w.Line("")
		for _, fate := range fates {
			w.Line("%s", fate)
		}
		cautions(w, t, acid, base)
	})
}

// cautions tell what the two reagents can do to whoever pours them. The sentences
// of their own are common practice, no source.
func cautions(w *cli.Pen, t *tables.Tables, reagents ...tables.Reagent) {
	w.Head("Take care with the reagents")
	w.Line("  danger: Never with chlorine bleach, not even what is left in a jug: acid and bleach give off chlorine gas.")
	w.Line("  danger: Acid and lye never straight after each other: they heat up and spit. Steel, zinc and aluminium out first: with acid, " +
		"and aluminium and zinc with lye, they give off hydrogen, so no lid screwed on and no flame.")
	for _, r := range reagents {
		for _, key := range r.Hazards {
			h, err := tables.Find[tables.Hazard](t, key)
			if w.Err = cmp.Or(w.Err, err); err == nil {
				w.Line("  %s: %s (%s)", h.Signal, h.Caution, r.Name)
			}
		}
	}
}

// used is a bath after some rust and some plate.
func used(t *tables.Tables, r recipe.Recipe, o bath.Oxide, rust cli.Take, zinc unit.Mass) (*bath.Bath, error) {
	b, err := r.Mix(t)
	if err != nil {
		return nil, err
	}
	if err := rust.Into(b, o, r.PH); err != nil {
		return nil, err
	}
	holdings, err := b.Holdings()
	if err != nil {
		return nil, err
	}
	metal, err := tables.Find[tables.Couple](t, "zinc")
	if err != nil {
		return nil, err
	}
	if most := holdings.Free() * metal.Reduced.Formula.MolarMass(); float64(zinc/measure.Gram) > most {
		return nil, cli.Usagef("-zinc %s: want at most %s, all that this bath has chelant for", measure.FormatMass(zinc), measure.FormatGrams(most))
	}
	return b, b.Strip(metal.ID, zinc)
}
