package main

import (
	"fmt"
	"io"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

// report writes the plan for someone with a bag, a tub and pH strips.
func report(out io.Writer, r recipe.Recipe, p *recipe.Plan, o *recipe.Outlook) error {
	w := &printer{out: out}
	w.line("A %s bath of %s at %s", measure.FormatVolume(r.Volume), r.Chelant.Name, measure.FormatTemperature(r.Temperature))
	w.line("")
	w.head("Weigh")
	w.line("  %s of %s", p.Chelant.Text(), r.Chelant.Name)
	if p.Chelant.MassHighGrams > 0 {
		w.line("    spoons are rough: that is %s to %s; a kitchen scale is better",
			measure.FormatMass(unit.Mass(p.Chelant.MassLowGrams)*measure.Gram), measure.FormatMass(unit.Mass(p.Chelant.MassHighGrams)*measure.Gram))
	}
	w.line("  into %s of %s (hardness %s, alkalinity %s)", measure.FormatVolume(r.Volume), r.Water.Name, r.Water.Hardness(), r.Water.Alkalinity)
	w.line("  That makes %.1f L of %.2g mol/L; stir until clear. Expect pH %s.", p.BathLitres, p.StrengthMolPerLitre, span(p.PHBefore, "%.1f"))
	w.line("")
	w.head("Bring it to pH %.1f", r.PH)
	if len(p.Steps) == 0 {
		w.line("  It is there already.")
	} else {
		w.line("  In all about %s of %s; between %s and %s with what bags and water vary by.",
			p.Acid.Text(), r.Acid.Name, measure.FormatMass(unit.Mass(p.Acid.MassLowGrams)*measure.Gram), measure.FormatMass(unit.Mass(p.Acid.MassHighGrams)*measure.Gram))
		for i, s := range p.Steps {
			w.line("  %d. %s", i+1, s.Text)
		}
		w.line("")
		w.line("    pH    %s in all   for half a pH unit", "acid")
		for _, c := range p.Curve {
			slope := ""
			if c.GramsPerHalfPH > 0 {
				slope = measure.FormatMass(unit.Mass(c.GramsPerHalfPH) * measure.Gram)
			}
			w.line("  %5.2f   %11s   %s", c.PH, measure.FormatMass(unit.Mass(c.AcidGrams/1000)), slope)
		}
	}
	w.line("")
	w.head("Then the bath")
	w.line("  pH %.1f, ionic strength %.2f mol/L (%.2f before the acid)", p.PHAfter, p.IonicStrengthAfterMolPerLitre, p.IonicStrengthBeforeMolPerLitre)
	w.line("  hard water holds %.1f %% of the chelant", 100*p.Hardness.Fraction)
	mass := func(grams float64) string { return measure.FormatMass(unit.Mass(grams) * measure.Gram) }
	w.line("  the rest can bind %.2g mol of iron, which is %s, or %s of rust (FeOOH)", p.Iron.IronMoles, mass(p.Iron.IronGrams), mass(p.Iron.RustGrams))
	if o.Held.IronMoles > 1.05*o.LeftAlone.IronMoles {
		w.line("  left alone it takes %s of fresh rust and stands at pH %.1f; with its pH held at %.1f by more acid, %s", mass(o.LeftAlone.RustGrams), o.EndPH, r.PH, mass(o.Held.RustGrams))
	} else {
		w.line("  it takes %s of fresh rust without more acid and ends at pH %.1f", mass(o.LeftAlone.RustGrams), o.EndPH)
	}
	w.line("  light fresh rust: %s", lower(o.Light.Text))
	w.line("")
	w.head("Next")
	w.line("  Weigh, stir, bring it to pH %.1f, put the brushed parts in, look after %s. Read the pH then: above %.1f add acid again.", r.PH, first(o), r.PH+0.5)
	if c := p.Cost; c != nil {
		w.line("")
		w.head("Cost")
		w.line("  %.2f in all: %.2f chelant, %.2f acid; %.2f per litre, %.2f per US gallon, %.2f per kg of rust at most",
			c.Total, c.Chelant, c.Acid, c.PerLitre, c.PerLitre*float64(measure.Gallon/measure.Litre), c.PerKgRust)
		if len(c.Missing) > 0 {
			w.line("  without %s, which has no price", strings.Join(c.Missing, " and "))
		}
	}
	w.line("")
	w.head("Work like this")
	for _, a := range p.Practice {
		w.line("  %s %s", a.Do, a.Why)
	}
	w.line("")
	w.head("Take care")
	for _, c := range p.Cautions {
		about := ""
		if len(c.About) > 0 && strings.HasPrefix(c.Key, "H") { // the others name it
			about = " (" + strings.Join(c.About, ", ") + ")"
		}
		w.line("  %s: %s%s", c.Signal, c.Text, about)
	}
	if len(p.Notes) > 0 || p.Forecast != nil {
		w.line("")
		w.head("How sure")
	}
	if f := p.Forecast; f != nil {
		setter := "acid"
		if r.PH > p.PHBefore.Typical {
			setter = "base"
		}
		format := "%.0f g"
		if f.DoseGrams.High < 10 {
			format = "%.1f g"
		}
		w.line("  nine times in ten the %s is %s and the iron it can bind %s",
			setter, span(f.DoseGrams.Range, format), span(f.IronMoles.Range, "%.2f mol"))
		if c := f.Cost; c != nil {
			w.line("  and the cost %s", span(c.Range, "%.2f"))
		}
		if causes := f.DoseGrams.Causes; len(causes) > 0 {
			w.line("  what moves the %s most is %s: %s", setter, causes[0].Name, causes[0].Remedy)
		}
	}
	for _, n := range p.Notes {
		w.line("  %s", n)
	}
	return w.err
}

// lower writes a sentence to follow a colon.
func lower(s string) string { return strings.ToLower(s[:1]) + s[1:] }

// first is when to look at the parts.
func first(o *recipe.Outlook) string {
	if o.Light.Hours.Low > 0 {
		return rust.RoughTime(o.Light.Hours.Low)
	}
	return "a night"
}

func span(r tables.Range, format string) string {
	low, high := fmt.Sprintf(format, r.Low), fmt.Sprintf(format, r.High)
	if low == high {
		return low
	}
	return low + " to " + high
}

// printer writes lines until one fails.
type printer struct {
	out io.Writer
	err error
}

func (p *printer) line(format string, args ...any) {
	if p.err == nil {
		_, p.err = fmt.Fprintf(p.out, format+"\n", args...)
	}
}

func (p *printer) head(format string, args ...any) { p.line(format, args...) }
