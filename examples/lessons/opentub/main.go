// Command opentub follows two baths that stand for days: one with soda in it, and one
// with clean tools forgotten in it, with a lid and without.
//
// Soda becomes carbonic acid in a bath of an acid salt, and that leaves as gas, slowly, at
// the surface. The pH starts low and climbs by itself; who adds soda until the strip
// shows 7 today has two units too much next week.
//
// Iron(III) that the chelant holds eats bare steel, half of its own weight, and is
// iron(II) then. Under a lid that is the end of it. In the open the oxygen of the air
// turns it back at the surface, and the steel goes on and on, and chelant with it.
package main

import (
	"io"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution/bath"
)

func main() { cli.Main("opentub", run) }

func run(args []string, out, diagnostics io.Writer) error {
	f, format := cli.Flags("opentub", "follows what gas and air do to a bath that stands.", out)
	asked, oxide := cli.Recipe(f), cli.Oxide(f)
	had := f.String("had", "30 g", "rust in the bath with the tools")
	bare := f.String("bare", "0.2 m²", "clean steel in it")
	hours := f.String("hours", "0,6,12,24,36,48,60,72", "to follow")
	t, in, err := cli.Begin(f, args)
	if err != nil {
		return err
	}
	r, o := asked(t, in), oxide(t, in)
	took, steel := cli.Flag(in, "had", *had, measure.ParseMass), cli.Flag(in, "bare", *bare, measure.ParseArea)
	var times []unit.Time
	for _, h := range cli.Flag(in, "hours", *hours, cli.Numbers) {
		times = append(times, unit.Time(h)*measure.Hour)
	}
	soda := r
	soda.Chelant, soda.Base = cli.Flag(in, "chelant", "disodium EDTA", t.Reagent), cli.Flag(in, "acid", "washing soda", t.Reagent)
	if in.Err != nil {
		return in.Err
	}
	plan, err := soda.Plan(t)
	if err != nil {
		return err
	}
	sour, err := soda.Mix(t)
	if err != nil {
		return err
	}
	tools, err := r.Mix(t)
	if err != nil {
		return err
	}
	if err := tools.Dissolve(o, took); err != nil {
		return err
	}
	lidded := tools.Clone()
	if err := lidded.Stand(bath.Place{}); err != nil {
		return err
	}
	bareSteel := bath.Parts{BareSteelCm2: 1e4 * float64(steel)}
	var told [3][]bath.Hour
	for i, x := range []struct {
		*bath.Bath
		bath.Parts
	}{{sour, bath.Parts{}}, {lidded, bareSteel}, {tools, bareSteel}} {
		c, err := x.Course(x.Parts)
		if err != nil {
			return err
		}
		if told[i], err = c.Until(times...); err != nil {
			return err
		}
	}
	l := &cli.Lesson{Table: cli.Table{
		Title:   "A bath with soda, and one with clean tools in it under a lid and without",
		Columns: []string{"hours", "soda_ph", "low", "high", "lid_steel_g", "lid_free_mol", "open_steel_g", "open_free_mol"},
	}}
	for i, h := range told[0] {
		a, b := told[1][i], told[2][i]
		l.Add(h.Hours, h.PH.Typical, h.PH.Low, h.PH.High, a.SteelLostGrams.Typical, a.FreeMoles.Typical, b.SteelLostGrams.Typical, b.FreeMoles.Typical)
	}
	if plan.InTheOpen != nil {
		l.Remark("%s", plan.InTheOpen.Text)
	}
	if n := len(times); n > 0 {
		a, b := told[1][n-1], told[2][n-1]
		l.Remark("After %.0f hours the tools have lost %.1f g under the lid and %.1f g (%.1f to %.1f) without. The lid lies loosely, so that gas gets out; nobody bubbles air; tools come out when they are clean.",
			b.Hours, a.SteelLostGrams.Typical, b.SteelLostGrams.Typical, b.SteelLostGrams.Low, b.SteelLostGrams.High)
	}
	return l.Write(out, format)
}
