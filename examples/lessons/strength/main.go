// Command strength shows what a stronger bath buys, and what it does not.
//
// Twice the chelant takes twice the rust, costs twice the money, and needs twice
// the acid. Does it clean in half the time? Rust dissolves where chelant sits on
// its surface, and the surface is full at a few mmol/L: a bath of 25 g/L holds
// ten times that. From there on the surface sets the pace, and not the bath.
// Warmth and brushing do more.
//
// Honesty about rates: nothing in print fixes how fast real rust goes at pH 7
// and 20 °C, so the table holds no times. It holds what equilibrium settles.
package main

import (
	"fmt"
	"io"

	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/bath"
	"example.com/chelation/tables"
)

func main() { cli.Main("strength", run) }

func run(args []string, out, diagnostics io.Writer) error {
	f, format := cli.Flags("strength", "shows what a stronger bath buys.", diagnostics)
	recipe, oxide := cli.Recipe(f), cli.Oxide(f)
	strengths := f.String("strengths", "5,10,15,25,37.5,50,75,100", "grams of chelant per litre of water")
	price := f.String("chelant-price", "6/lb", "invented for the demo")
	acidPrice := f.String("acid-price", "4/lb", "invented for the demo")
	if err := cli.Parse(f, args); err != nil {
		return err
	}
	t, err := tables.Standard()
	if err != nil {
		return err
	}
	var in cli.Input
	r, o := recipe(t, &in), oxide(t, &in)
	grams := cli.Flag(&in, "strengths", *strengths, cli.Numbers)
	r.Prices = map[string]bath.Price{
		r.Chelant.ID: cli.Flag(&in, "chelant-price", *price, bath.ParsePrice),
		r.Acid.ID:    cli.Flag(&in, "acid-price", *acidPrice, bath.ParsePrice),
	}
	if in.Err != nil {
		return in.Err
	}
	all, err := r.Strengths(t, o, grams...)
	if err != nil {
		return err
	}

	l := &cli.Lesson{Table: cli.Table{
		Title:   fmt.Sprintf("Weaker and stronger baths; rust as %s, pH kept at %g", o.Name, r.PH),
		Columns: []string{"salt_g_per_l", "strength_mol_per_l", "takes_rust_g", "alone_rust_g", "cost", "cost_per_kg_rust"},
	}}
	for _, s := range all {
		l.Add(s.PerLitre, s.Molarity, s.Practical.Rust, s.Proton.Rust, s.Cost.Total, 1000*s.Cost.Total/s.Practical.Rust)
	}
	l.Remark("%s", bath.NotFaster)
	l.Remark("So make it as strong as the rust in the box asks for, and no stronger. A thin bath pays the toll of the water more dearly: see hardwater.")
	return l.Write(out, format)
}
