package main

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/care"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

var mass = measure.FormatGrams

// report writes the plan for someone with a bag, a tub and pH strips: what to weigh,
// what to do next and what to mind; with more, all that is known. There is no outlook
// where no constant tells what the bath takes, and a note of the plan says so.
func report(out io.Writer, r recipe.Recipe, p *recipe.Plan, o *recipe.Outlook, parts []care.Part, more bool) error {
	w := &cli.Pen{Out: out}
	w.Line("A %s bath of %s at %s", measure.FormatVolume(r.Volume), r.Chelant.Name, measure.FormatTemperature(r.Temperature))
	w.Head("Weigh")
	w.Line("  %s of %s", p.Chelant.Text(), r.Chelant.Name)
	if p.Chelant.MassHighGrams > 0 {
		w.Line("    spoons are rough: that is %s to %s; a kitchen scale is better", mass(p.Chelant.MassLowGrams), mass(p.Chelant.MassHighGrams))
	}
	w.Line("  into %s of %s. %s; expect pH %s.", measure.FormatVolume(r.Volume), r.Water.Name, bottom(p, r), cli.Span(p.PHBefore, "%.1f"))
	w.Head(fmt.Sprintf("Bring it to pH %.1f", r.PH))
	if len(p.Steps) == 0 {
		w.Line("  It is there already.")
	} else {
		vary := "how much bags and water vary it is not known"
		if p.Acid.MassHighGrams > 0 {
			vary = cli.Span(tables.Range{Low: p.Acid.MassLowGrams, High: p.Acid.MassHighGrams}, "%s", mass) + " with what bags and water vary by"
		}
		w.Line("  In all about %s of %s; %s.", p.Acid.Text(), p.Acid.Name, vary)
		for i, s := range p.Steps {
			w.Line("  %d. %s", i+1, s.Text)
		}
		if text := cli.Doses(p); text != "" {
			w.Line("  %s", text)
		}
	}
	w.Head("Next")
	for _, c := range p.Cautions {
		if c.Signal == tables.Danger && slices.ContainsFunc(parts, func(x care.Part) bool { return x.Admission != tables.StaysOut && slices.Contains(c.About, x.Material) }) {
			w.Line("  Before anything else: %s", c.Text)
		}
	}
	again := " again"
	if r.PH > p.PHBefore.Typical {
		again = ", a spoon of citric or another" // what went in was a base
	}
	w.Line("  Put the brushed parts in%s. Look at them %s. Read the pH then: above %.1f add acid%s.", except(parts), first(o, parts), r.PH+0.5, again)
	for _, x := range parts {
		if text := cli.Margin(x, r.PH); text != "" {
			w.Line("  %s", text)
		}
	}
	takes(w, r, p, o)
	cost(w, p)
	if more {
		rest(w, r, p, o)
	}
	w.Head("Take care")
	for _, x := range parts {
		w.Line("  %s", x.Text())
	}
	for _, a := range p.Practice {
		if a.Called && !more && !strings.HasPrefix(a.Do, "Keep out") {
			w.Line("  %s %s", a.Do, a.Why)
		}
	}
	for _, c := range p.Cautions {
		if cli.Said(parts, c) {
			continue
		}
		about := ""
		if len(c.About) > 0 && strings.HasPrefix(c.Key, "H") { // the others name it
			about = " (" + strings.Join(c.About, ", ") + ")"
		}
		w.Line("  %s: %s%s", c.Signal, c.Text, about)
	}
	if !more {
		w.Line("")
		w.Line("-more tells the rest: the curve, how to work, what the part wants afterwards, how sure this is.")
	}
	return w.Err
}

// takes tells what rust the bath takes.
func takes(w *cli.Pen, r recipe.Recipe, p *recipe.Plan, o *recipe.Outlook) {
	if o == nil {
		for _, n := range p.Notes {
			if strings.Contains(n, bath.ErrNoIron.Error()) {
				w.Line("  %s", n)
			}
		}
		return
	}
	switch alone, held := o.LeftAlone.RustGrams, o.Held.RustGrams; {
	case held > 1.05*alone:
		w.Line("  Left alone it takes %s of fresh rust and stands at pH %.1f; with its pH held at %.1f by acid plan for %s, though %s could dissolve.",
			mass(alone), o.EndPH, r.PH, mass(o.Practical.RustGrams), mass(held))
	default:
		w.Line("  Left alone it takes %s of fresh rust and ends at pH %.1f.", mass(alone), o.EndPH)
	}
}

// cost tells what the bath costs, where prices are known.
func cost(w *cli.Pen, p *recipe.Plan) {
	if c := p.Cost; c != nil {
		w.Head("Cost")
		money := func(x float64) string { return recipe.Money(x, 2, c.Currency) }
		w.Line("  %s in all: %s chelant, %s acid; %s per litre, %s per kg of rust at most",
			money(c.Total), money(c.Chelant), money(c.Acid), money(c.PerLitre), money(c.PerKgRust))
		if len(c.Missing) > 0 {
			w.Line("  without %s, which has no price", strings.Join(c.Missing, " and "))
		}
	}
}

// rest tells what the first page leaves out.
func rest(w *cli.Pen, r recipe.Recipe, p *recipe.Plan, o *recipe.Outlook) {
	if len(p.Steps) > 0 {
		curve := cli.Table{Title: "\nHow the pH goes", Columns: []string{"pH", p.Acid.Name, "for half a pH unit"}}
		for _, c := range p.Curve {
			slope := ""
			if c.GramsPerHalfPH > 0 {
				slope = mass(c.GramsPerHalfPH)
			}
			curve.Add(fmt.Sprintf("%.2f", c.PH), mass(c.AcidGrams), slope)
		}
		w.Table(&curve)
	}
	w.Head("Then the bath")
	w.Line("  %s of %.2g mol/L at pH %.1f, ionic strength %.2f mol/L (%.2f before the acid)",
		measure.FormatLitres(p.BathLitres), p.StrengthMolPerLitre, p.PHAfter, p.IonicStrengthAfterMolPerLitre, p.IonicStrengthBeforeMolPerLitre)
	w.Line("  water of hardness %s and alkalinity %s holds %.1f %% of the chelant", r.Water.Hardness(), r.Water.Alkalinity, 100*p.HardnessFraction)
	dissolves := o != nil && o.Held.IronMoles > 0.5*p.Iron.IronMoles // elsewhere the pH sets the limit, not the bag
	switch {
	case dissolves:
		w.Line("  the rest can bind %s of iron, or %s of rust (FeOOH), an iron for each", mass(p.Iron.IronGrams), mass(p.Iron.RustGrams))
	case o != nil:
		w.Line("  there is chelant for %s of rust (FeOOH), but at this pH it dissolves no more than %s", mass(p.Iron.RustGrams), mass(max(o.Held.RustGrams, o.LeftAlone.RustGrams)))
	}
	if o != nil {
		w.Line("  light fresh rust: %s", strings.ToLower(o.Light.Text[:1])+o.Light.Text[1:])
	}
	for _, stage := range []tables.Stage{tables.Before, tables.During, tables.After} {
		w.Head(strings.ToUpper(string(stage[:1])) + string(stage[1:]))
		for _, a := range p.Practice {
			if a.Stage == stage && !strings.HasPrefix(a.Do, "Keep out") {
				w.Line("  %s %s", a.Do, a.Why)
			}
		}
	}
	w.Head("How sure")
	if f := p.Forecast; f != nil {
		setter := "acid"
		if r.PH > p.PHBefore.Typical {
			setter = "base"
		}
		binds := ""
		if dissolves {
			binds = " and the iron it can bind " + cli.Span(f.IronMoles.Range, "%.2f mol")
		}
		w.Line("  nine times in ten the %s is %s%s", setter, cli.Span(f.DoseGrams.Range, "%s", mass), binds)
		if c := f.Cost; c != nil {
			w.Line("  and the cost %s", cli.Span(c.Range, "%s", func(x float64) string { return recipe.Money(x, 2, p.Cost.Currency) }))
		}
		if c := f.ByConstants; c.High > 0 {
			w.Line("  the constants of the tables alone leave the %s within %s", setter, cli.Span(c, "%s", mass))
		}
		w.Line("  if all that is told is right; with a chance of %.0f %% something is not: stir in the first portion only, and read", 100*f.DoubtFraction)
		if causes := f.DoseGrams.Causes; len(causes) > 0 {
			w.Line("  what moves the %s most is %s: %s", setter, causes[0].Name, causes[0].Remedy)
		}
	}
	for _, n := range p.Notes {
		w.Line("  %s", n)
	}
}

// bottom tells what does not dissolve.
func bottom(p *recipe.Plan, r recipe.Recipe) string {
	switch least := p.Chelant.MassGrams / 200; { // less nobody sees
	case p.UndissolvedGrams < least:
		return "Stir until clear"
	case p.UndissolvedAfterGrams < least:
		return mass(p.UndissolvedGrams) + " of it stay on the bottom until " + p.Acid.Name + " takes them up"
	default:
		return mass(p.UndissolvedGrams) + " of it stay on the bottom, " + mass(p.UndissolvedAfterGrams) + " of them to the end: take less, or more water"
	}
}

// except names the parts that stay out.
func except(parts []care.Part) string {
	var out []string
	for _, x := range parts {
		if x.Admission == tables.StaysOut {
			out = append(out, cmp.Or(x.Asked, x.Material))
		}
	}
	if len(out) == 0 {
		return ""
	}
	return ", but no " + strings.Join(out, " and no ")
}

// first is when to look at the parts.
func first(o *recipe.Outlook, parts []care.Part) string {
	if slices.ContainsFunc(parts, func(x care.Part) bool { return x.Admission == tables.Watched }) {
		return "every hour"
	}
	if o != nil && o.Light.Hours.Low > 0 {
		return "after " + rust.RoughTime(o.Light.Hours.Low)
	}
	return "after a night"
}
