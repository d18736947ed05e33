// Command dispose asks what can be done with a used bath, and why none of it
// makes the water fit for a drain: acid brings down the free EDTA and leaves the
// iron; lye brings down the iron and leaves the EDTA, ready to pick up the next
// metal in the pipe; standing in air does neither.
//
// Collect a used bath and ask the local waste office; its rules, and those of
// your licence, come before anything said here.
package main

import (
	"fmt"
	"io"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/bath"
	"example.com/chelation/tables"
)

func main() { cli.Main("dispose", run) }

func run(args []string, out, diagnostics io.Writer) error {
	f, format := cli.Flags("dispose", "asks what can be done with a used bath.", diagnostics)
	amount := f.String("amount", "500 g", "of tetrasodium EDTA tetrahydrate in 20 L")
	rust := f.String("rust", "50 g", "that the bath took up")
	oxide := f.String("oxide", "lepidocrocite", "as which the rust counts")
	zinc := f.String("zinc", "0 g", "from galvanised parts, that the bath took up as well")
	acid := f.String("acid", "muriatic acid", "for the first treatment")
	base := f.String("base", "sodium hydroxide", "for the second")
	if err := cli.Parse(f, args); err != nil {
		return err
	}
	t, err := tables.Standard()
	if err != nil {
		return err
	}
	var in cli.Input
	mass := cli.Flag(&in, "amount", *amount, measure.ParseAmount)
	took := cli.Flag(&in, "rust", *rust, measure.ParseMass)
	o := cli.Flag(&in, "oxide", *oxide, func(s string) (bath.Oxide, error) { return bath.FindOxide(t, s) })
	plate := cli.Flag(&in, "zinc", *zinc, measure.ParseMass)
	a := cli.Flag(&in, "acid", *acid, t.Reagent)
	b := cli.Flag(&in, "base", *base, t.Reagent)
	if in.Err != nil {
		return in.Err
	}
	tub, err := used(t, mass, o, took, plate)
	if err != nil {
		return err
	}
	all, err := tub.Recoveries(a, b)
	if err != nil {
		return err
	}
	table := &cli.Table{Columns: []string{"treatment", "reagent", "reagent_g", "ph", "edta_acid_settled_g", "hydroxides_settled_g", "iron_left_mg_per_l", "edta_left_mg_per_l"}}
	for _, x := range all {
		left := 0.0
		for _, m := range x.Metals {
			if m.Name == "Fe" {
				left = m.Value
			}
		}
		table.Add(x.Name, x.Reagent, x.Grams, x.PH, x.Acid, x.Hydroxide, left, x.Chelant)
	}
	switch {
	case format.JSON:
		return cli.JSON(out, all)
	case format.CSV:
		return table.CSV(out)
	}
	if err := table.Print(out); err != nil {
		return err
	}
	for _, x := range all {
		if _, err := fmt.Fprintf(out, "\n%s: %s\n", x.Name, x.Text); err != nil {
			return err
		}
	}
	return nil
}

// used is the tool library's tub at pH 7 after some rust and some plate.
func used(t *tables.Tables, amount measure.Amount, o bath.Oxide, rust, zinc unit.Mass) (*bath.Bath, error) {
	r := bath.Recipe{Volume: 20e-3, Temperature: 293.15, Amount: amount, PH: 7}
	var err error
	if r.Water, err = t.Water("moderately hard tap water"); err != nil {
		return nil, err
	}
	if r.Chelant, err = t.Reagent("tetrasodium EDTA tetrahydrate"); err != nil {
		return nil, err
	}
	if r.Acid, err = t.Reagent("citric acid"); err != nil {
		return nil, err
	}
	b, err := r.Mix(t)
	if err != nil {
		return nil, err
	}
	if err := b.Dissolve(o, 1000*float64(rust)); err != nil {
		return nil, err
	}
	return b, b.Strip("zinc", 1000*float64(zinc))
}
