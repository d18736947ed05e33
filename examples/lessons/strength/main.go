// Command strength shows what a stronger bath buys, and what it does not.
//
// Twice the chelant takes twice the rust, costs twice the money, and needs twice
// the acid. Does it clean in half the time? Rust dissolves where chelant sits on
// its surface, and the surface is full at a few mmol/L: a bath of 25 g/L holds
// ten times that. From there on the surface sets the pace, and not the bath.
// Warmth and brushing do more: see examples/diptime.
//
// Honesty about times: nothing in print fixes how fast real rust goes at pH 7 and
// 20 °C, so each row has a range, ten times wide, that holds about nine cases in
// ten. But most of what is not known is the same for all rows. Compare the rows,
// and do not set a clock by them.
package main

import (
	"fmt"
	"io"
	"math"

	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

func main() { cli.Main("strength", run) }

func run(args []string, out, diagnostics io.Writer) error {
	f, format := cli.Flags("strength", "shows what a stronger bath buys.", out)
	asked, oxide := cli.Recipe(f), cli.Oxide(f)
	strengths := f.String("strengths", "5,10,15,25,37.5,50,75,100", "grams of chelant per litre of water")
	price := f.String("chelant-price", "6/lb", "invented for the demo")
	acidPrice := f.String("acid-price", "4/lb", "invented for the demo")
	kind := f.String("rust", "fresh orange rust", "kind of rust, for the times")
	thickness := f.String("thickness", "25 µm", "of the rust")
	area := f.String("area", "0.2 m²", "of rusty steel in the bath at once")
	t, in, err := cli.Begin(f, args)
	if err != nil {
		return err
	}
	r, o := asked(t, in), oxide(t, in)
	grams := cli.Flag(in, "strengths", *strengths, cli.Strengths)
	r.Prices = map[string]recipe.Price{
		r.Chelant.ID: cli.Flag(in, "chelant-price", *price, recipe.ParsePrice),
		r.Acid.ID:    cli.Flag(in, "acid-price", *acidPrice, recipe.ParsePrice),
	}
	dip := rust.Dip{
		Oxide: o, Rust: cli.Flag(in, "rust", *kind, t.Rust),
		Area: cli.Flag(in, "area", *area, measure.ParseArea), Held: true,
	}
	thick := cli.Flag(in, "thickness", *thickness, measure.ParseLength)
	if in.Err != nil {
		return in.Err
	}
	if dip.Layer, err = rust.LayerOfThickness(dip.Rust, thick); err != nil {
		return err
	}
	all, err := r.Try(t, o, cli.ByStrength(r, grams)...)
	if err != nil {
		return err
	}
	pace, err := rust.NewPace(t)
	if err != nil {
		return err
	}

	l := &cli.Lesson{Table: cli.Table{
		Title:   fmt.Sprintf("Weaker and stronger baths; rust as %s, pH kept at %g", o.Name, r.PH),
		Columns: []string{"salt_g_per_l", "strength_mol_per_l", "practical_rust_g", "total_cost", "cost_per_kg_rust", "hours", "hours_low", "hours_high"},
	}}
	var hours []float64
	for i, s := range all {
		r.Amount = measure.AmountOfMass(s.Chelant.Mass())
		tub, err := r.Mix(t)
		if err != nil {
			return err
		}
		time, err := pace.Time(tub, dip)
		if err != nil {
			return err
		}
		if time.RustDissolvedFraction < 1 { // it is full before the part is clean
			never := math.Inf(1)
			time.Hours = tables.Range{Low: never, Typical: never, High: never}
		}
		hours = append(hours, time.Hours.Typical)
		first := s.Cost.Total - s.Cost.Keeper
		l.Add(grams[i], s.StrengthMolPerLitre, s.Practical.RustGrams, first, 1000*first/s.Practical.RustGrams,
			time.Hours.Typical, time.Hours.Low, time.Hours.High)
	}
	middle, last := (len(all)-1)/2, len(all)-1
	l.Remark("From %g to %g g/L the bath takes %.1f times the rust, and the typical time goes from %.0f to %.0f hours.",
		grams[middle], grams[last], all[last].Practical.RustGrams/all[middle].Practical.RustGrams, hours[middle], hours[last])
	l.Remark("%s", cli.NotFaster(t))
	l.Remark("So make it as strong as the rust in the box asks for, and no stronger. A thin bath pays the toll of the water more dearly: see hardwater.")
	return l.Write(out, format)
}
