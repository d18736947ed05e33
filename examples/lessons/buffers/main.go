// Command buffers compares what holds the pH: EDTA, citrate, both, and water.
//
// Buffer capacity is the strong base in mol/L that raises the pH by one
// (Van Slyke 1922). Citric acid is thought of as the buffer of the bath. It is
// one, at pH 3 to 6. EDTA is one near pH 6 and near pH 9.5. Between these, just
// above where a bath is meant to work, there is a gap that neither fills: so the
// pH runs through it with a spoon of acid, and back with a spoon of rust.
//
// Below pH 4 the acid of EDTA begins to settle, and with it the chelant.
package main

import (
	"io"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

func main() { cli.Main("buffers", run) }

func run(args []string, out, diagnostics io.Writer) error {
	f, format := cli.Flags("buffers", "compares what holds the pH.", out)
	strength := f.Float64("strength", 0.05, "of each in mol/L")
	temperature := f.String("temperature", "20 °C", "of the bath")
	pHs := f.String("ph", "4,4.5,5,5.5,6,6.5,7,7.5,8,8.5,9,9.5,10,10.5,11,11.5", "pH to look at")
	t, in, err := cli.Begin(f, args)
	if err != nil {
		return err
	}
	warmth := cli.Flag(in, "temperature", *temperature, measure.ParseTemperature)
	grid := cli.Flag(in, "ph", *pHs, cli.Numbers)
	acid := cli.Flag(in, "acid", "muriatic acid", t.Reagent)
	cli.Positive(in, "strength", *strength)
	if in.Err != nil {
		return in.Err
	}
	mixtures := [][]string{{"tetrasodium EDTA"}, {"trisodium citrate"}, {"tetrasodium EDTA", "trisodium citrate"}, {}}
	l := &cli.Lesson{Table: cli.Table{
		Title:   "Buffer capacity, mol/L of base per unit of pH",
		Columns: []string{"ph", "edta", "citrate", "both", "water"},
	}}
	var vessels []*solution.Solution
	for _, m := range mixtures {
		v, err := vessel(t, warmth, *strength, m)
		if err != nil {
			return err
		}
		vessels = append(vessels, v)
	}
	gentle, gap := 0.0, [2]float64{}
	for _, pH := range grid {
		row := []any{pH}
		for i, v := range vessels {
			d, err := v.Dose(acid, solution.PH(pH))
			if err != nil {
				return err
			}
			row = append(row, d.After.BufferCapacityMolPerLitre)
			if i == 2 && pH > 6 && pH < 10 && (gentle == 0 || d.After.BufferCapacityMolPerLitre < gap[1]) {
				gentle, gap = pH, [2]float64{pH, d.After.BufferCapacityMolPerLitre}
			}
		}
		l.Add(row...)
	}
	if gentle != 0 {
		l.Remark("With both in, the pH is held least at %g, by %.1f mmol/L of base for a unit. Each iron that dissolves takes up two protons there, so %.2g g/L of iron are enough.", gap[0], 1000*gap[1], gap[1]/2*ironMolarMass)
	}
	return l.Write(out, format)
}

const ironMolarMass = 55.845 // g/mol, IUPAC 2021

// vessel is a litre with salts in it and lye enough to begin at pH 12.
func vessel(t *tables.Tables, warmth unit.Temperature, strength float64, salts []string) (*solution.Solution, error) {
	v, err := solution.New(t, warmth)
	if err != nil {
		return nil, err
	}
	if err := v.AddPureWater(unit.Volume(1e-3)); err != nil {
		return nil, err
	}
	for _, name := range salts {
		r, err := t.Reagent(name)
		if err != nil {
			return nil, err
		}
		if err := v.AddMoles(r, unit.Mole(strength)); err != nil {
			return nil, err
		}
	}
	lye, err := t.Reagent("sodium hydroxide")
	if err != nil {
		return nil, err
	}
	d, err := v.Dose(lye, solution.PH(12))
	if err != nil {
		return nil, err
	}
	return v, v.Add(lye, d.Mass())
}
