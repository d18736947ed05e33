// Command drops titrates the hardness of the tap water with EDTA.
//
// The bath and the test kit are one and the same reaction. In the kit the
// chelant is the one that is counted: drops of EDTA of known strength, until no
// calcium and no magnesium is left bare, and a dye that both had held lets go
// and turns from red to blue.
//
// The kit brings a buffer of pH 10 along, and the reason is the conditional
// constant: at pH 10 bare calcium falls by three powers of ten within half a
// millilitre of the end. At pH 7 the chelant still takes calcium, but magnesium only in
// part, and the dye is blue from the start. Try -ph 7.
//
// pCa is minus the logarithm of the bare calcium in mol/L.
package main

import (
	"context"
	"fmt"
	"io"
	"math"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution"
	"example.com/chelation/solution/titration"
	"example.com/chelation/tables"
)

func main() { cli.Main("drops", run) }

const millilitre = unit.Volume(1e-6)

func run(args []string, out, diagnostics io.Writer) error {
	f, format := cli.Flags("drops", "titrates the hardness of the tap water with EDTA.", out)
	water := f.String("water", "hard tap water", "a water of the tables")
	volume := f.String("volume", "50 mL", "of the water")
	strength := f.Float64("strength", 0.01, "EDTA in the burette, mol/L")
	pH := f.Float64("ph", 10, "at which the buffer holds the sample")
	name := f.String("indicator", "eriochrome black T", "the dye")
	temperature := f.String("temperature", "20 °C", "of all")
	points := f.Int("points", 21, "rows of the table")
	t, in, err := cli.Begin(f, args)
	if err != nil {
		return err
	}
	tap := cli.Flag(in, "water", *water, t.Water)
	much := cli.Flag(in, "volume", *volume, measure.ParseVolume)
	warmth := cli.Flag(in, "temperature", *temperature, measure.ParseTemperature)
	dye := cli.Flag(in, "indicator", *name, t.Indicator)
	cli.Positive(in, "strength", *strength)
	if in.Err != nil {
		return in.Err
	}
	run, err := set(t, tap, much, warmth, *strength, *pH)
	if err != nil {
		return err
	}
	const balance = "Ca2+ + Mg2+ = edta4-"
	equivalence, err := run.Equivalence(balance)
	if err != nil {
		return err
	}

	l := &cli.Lesson{Table: cli.Table{
		Title:   fmt.Sprintf("%s of %s at pH %g, %g mol/L EDTA from the burette", measure.FormatVolume(much), tap.Name, *pH, *strength),
		Columns: []string{"edta_ml", "pca", "pmg", "ph", "dye_held_fraction", "colour"},
	}}
	upTo := 1.5 * equivalence
	for p, err := range run.Points(context.Background(), titration.Grid{UpTo: upTo, Points: *points, Species: []string{"Ca2+", "Mg2+"}}) {
		if err != nil {
			return err
		}
		shades, err := run.Shades(dye, unit.Volume(p.ML)*millilitre)
		if err != nil {
			return err
		}
		held := 0.0
		for _, s := range shades {
			if s.Metal != "" {
				held += s.Share
			}
		}
		l.Add(p.ML, -math.Log10(p.MolPerLitre[0]), -math.Log10(p.MolPerLitre[1]), p.PH, held, shades[0].Colour)
	}
	ends, err := run.Endpoints(context.Background(), dye, upTo)
	if err != nil {
		return err
	}
	equal := float64(equivalence / millilitre)
	l.Remark("Calcium and magnesium are matched by %.3f mL.", equal)
	for _, e := range ends {
		l.Remark("%s turns from %s to %s between %.3f and %.3f mL, half way at %.3f mL: %+.1f %% of the hardness.",
			dye.Name, e.From, e.To, e.BeginsML, e.CompleteML, e.ML, 100*(e.ML-equal)/equal)
	}
	if len(ends) == 0 {
		l.Remark("%s does not turn on this curve.", dye.Name)
	}
	titre := equal * *strength / float64(much/millilitre) // mol/L
	l.Remark("%.3f mL × %g mol/L in %s of water are %.0f mg/L of hardness as CaCO3; the tables have %.0f.",
		equal, *strength, measure.FormatVolume(much), tables.Hardness(titre).CaCO3(), tap.Hardness().CaCO3())
	return l.Write(out, format)
}

// set puts the water, held at a pH, under a burette of disodium EDTA.
func set(t *tables.Tables, tap tables.Water, much unit.Volume, warmth unit.Temperature, strength, pH float64) (*titration.Titration, error) {
	sample, err := solution.New(t, warmth)
	if err != nil {
		return nil, err
	}
	if err := sample.AddWater(tap, much); err != nil {
		return nil, err
	}
	if err := sample.HoldPH(pH); err != nil {
		return nil, err
	}
	salt, err := t.Reagent("disodium EDTA")
	if err != nil {
		return nil, err
	}
	burette, err := solution.New(t, warmth)
	if err != nil {
		return nil, err
	}
	if err := burette.AddPureWater(unit.Volume(1e-3)); err != nil {
		return nil, err
	}
	if err := burette.AddMoles(salt, unit.Mole(strength)); err != nil {
		return nil, err
	}
	return titration.New(sample, burette, "Ca2+")
}
