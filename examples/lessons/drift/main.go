// Command drift follows the pH of a bath as rust dissolves in it.
//
// Each iron that leaves the rust makes water of three protons. The chelant gives
// up one of them at pH 7, and two at pH 5, when it takes the iron; nobody puts the
// others back. The pH climbs, and the limit of the rust comes down (see
// rustlimit), until the two meet: the bath stops, with much of its chelant
// still free. It looks spent and is only alkaline. Acid brings it back.
//
// The table leaves the bath alone; the remarks say what to add instead.
package main

import (
	"fmt"
	"io"

	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
)

func main() { cli.Main("drift", run) }

func run(args []string, out, diagnostics io.Writer) error {
	f, format := cli.Flags("drift", "follows the pH of a bath as rust dissolves in it.", out)
	recipe, oxide := cli.Recipe(f), cli.Oxide(f)
	portions := f.Int("portions", 10, "of rust to follow")
	rise := f.Float64("rise", 0.5, "of pH before acid is added")
	part := f.String("rust-per-part", "2 g", "rust on one part")
	t, in, err := cli.Begin(f, args)
	if err != nil {
		return err
	}
	r, o := recipe(t, in), oxide(t, in)
	each := cli.Flag(in, "rust-per-part", *part, measure.ParseMass)
	if in.Err != nil {
		return in.Err
	}
	b, err := r.Mix(t)
	if err != nil {
		return err
	}
	points, err := b.Drift(o, *portions)
	if err != nil {
		return err
	}
	kept, err := b.Upkeep(r.Acid, o, r.PH, *rise)
	if err != nil {
		return err
	}
	advice, err := kept.Parts(r.Acid, each)
	if err != nil {
		return err
	}

	l := &cli.Lesson{Table: cli.Table{
		Title:   fmt.Sprintf("Left alone while %s dissolves", o.Name),
		Columns: []string{"rust_g", "ph", "free_chelant_fraction", "iron_per_chelant", "ionic_strength_mol_per_l"},
	}}
	for _, p := range points {
		l.Add(p.RustGrams, p.PH, p.FreeChelantFraction, p.IronPerChelant, p.IonicStrengthMolPerLitre)
	}
	end := points[len(points)-1]
	l.Remark("Left alone it stops after %.0f g of %s at pH %.1f, with %.0f %% of its chelant unused.", end.RustGrams, o.Name, end.PH, 100*end.FreeChelantFraction)
	l.Remark("Kept between pH %g and %g it takes %.0f g, for %.2f g of acid per gram of rust. %s", r.PH, r.PH+*rise, kept.RustGrams, kept.AcidPerRustGram, advice)
	return l.Write(out, format)
}
