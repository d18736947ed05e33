// Command rustlimit shows why a bath at pH 11 does not clean.
//
// Tetrasodium EDTA in water stands near pH 11, with all its chelant ready, and
// takes off no rust. Nothing is slow there: it is equilibrium. Rust is iron with
// oxide and hydroxide, and the more hydroxide is in the water, the less of the
// iron can leave:
//
//	FeOOH + Hedta3- + 2 H+ = Fe(edta)- + 2 H2O
//
// Two protons go in for each iron, so that beyond the edge each unit of pH costs
// a factor of a hundred. The table holds the pH and asks how much iron can be in
// solution at most, for each mole of EDTA. A one is a full bath; more than one
// is the work of citrate. Old rust, goethite, comes to its edge nearly two units
// of pH before fresh rust, ferrihydrite.
package main

import (
	"io"

	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/bath"
)

func main() { cli.Main("rustlimit", run) }

func run(args []string, out, diagnostics io.Writer) error {
	f, format := cli.Flags("rustlimit", "shows why a bath at pH 11 does not clean.", out)
	recipe := cli.Recipe(f)
	pHs := f.String("held", "4,5,6,7,7.5,8,8.5,9,9.5,10,10.5,11,11.5,12", "pH to hold the bath at")
	t, in, err := cli.Begin(f, args)
	if err != nil {
		return err
	}
	r := recipe(t, in)
	grid := cli.Flag(in, "held", *pHs, cli.Numbers)
	if in.Err != nil {
		return in.Err
	}
	plan, err := r.Plan(t)
	if err != nil {
		return err
	}
	b, err := r.Mix(t)
	if err != nil {
		return err
	}
	oxides, err := bath.CommonOxides(t)
	if err != nil {
		return err
	}

	l := &cli.Lesson{Table: cli.Table{Title: "Iron that a held pH lets into solution, per mole of EDTA", Columns: []string{"ph"}, By: "oxide"}}
	for _, o := range oxides {
		l.Columns = append(l.Columns, "iron_per_chelant ("+o.Name+")")
	}
	for _, pH := range grid {
		row := []any{pH}
		for _, o := range oxides {
			x, err := b.Limit(o, pH)
			if err != nil {
				return err
			}
			row = append(row, x.IronPerChelant)
		}
		l.Add(row...)
	}
	for _, o := range oxides {
		x, err := b.Limit(o, plan.PHBefore.Typical)
		if err != nil {
			return err
		}
		l.Remark("Before its acid the bath stands at pH %.1f; there %s can fill %.2g %% of the EDTA.", plan.PHBefore.Typical, o.Name, 100*x.IronPerChelant)
	}
	l.Remark("These are limits, not speeds: at a pH that allows a full bath, how soon it fills is another matter.")
	return l.Write(out, format)
}
