package main

import (
	"context"
	"fmt"

	"gonum.org/v1/gonum/unit"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg/draw"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/solution/titration"
	"example.com/chelation/tables"
)

// titrate shows the salt of the bath under hydrochloric acid, and where
// indicators turn.
func titrate(t *tables.Tables) (*figure, error) {
	const sampleML, salt, acid, upTo = 50, 0.05, 0.1, 90 // mL, mol/L, mol/L, mL
	sample, err := solution.New(t, chem.Celsius(25))
	if err != nil {
		return nil, err
	}
	burette, err := solution.New(t, chem.Celsius(25))
	if err != nil {
		return nil, err
	}
	if err := sample.AddPureWater(sampleML * 1e-6); err != nil {
		return nil, err
	}
	if err := burette.AddPureWater(1e-3); err != nil {
		return nil, err
	}
	for _, x := range []struct {
		into    *solution.Solution
		species string
		moles   float64
	}{
		{sample, "edta4-", salt * sampleML / 1000}, {sample, "Na+", 4 * salt * sampleML / 1000},
		{burette, "H+", acid}, {burette, "Cl-", acid},
	} {
		if err := x.into.AddSpecies(x.species, unit.Mole(x.moles)); err != nil {
			return nil, err
		}
	}
	if err := sample.Bar("H4edta(s)"); err != nil { // it takes hours to come down
		return nil, err
	}
	run, err := titration.New(sample, burette, "H+")
	if err != nil {
		return nil, err
	}
	c, err := run.Curve(context.Background(), titration.Grid{UpTo: upTo * 1e-6, Step: 0.1})
	if err != nil {
		return nil, err
	}
	var curve plotter.XYs
	for _, q := range c {
		curve = append(curve, plotter.XY{X: q.ML, Y: q.P})
	}
	p := newPanel(axis{0, upTo, 10}, "0.1 mol/L hydrochloric acid added, mL", axis{1, 12, 1}, "pH")
	for _, balance := range []string{"H+ = edta4-", "H+ = 2 edta4-"} {
		v, err := run.Equivalence(balance)
		if err != nil {
			return nil, err
		}
		ml := float64(v) * 1e6
		p.Add(line{plotter.XYs{{X: ml, Y: 1}, {X: ml, Y: 12}}, thin})
	}
	p.Add(note{x: 25, y: 1, dx: -4, dy: 6, text: "Hedta³⁻", style: right(style(10.5, false, soft))})
	p.Add(note{x: 50, y: 1, dx: -4, dy: 6, text: "H₂edta²⁻", style: right(style(10.5, false, soft))})
	p.curve(curve, navy)
	for _, mark := range []struct {
		name  string
		x, dy float64 // of its bar, clear of the curve, and of its name
	}{
		{"phenolphthalein", 30, -4}, {"phenol red", 38, 3}, {"bromothymol blue", 46, -9}, {"methyl red", 55, -4}, {"methyl orange", 62, -4},
	} {
		x, err := t.Indicator(mark.name)
		if err != nil {
			return nil, err
		}
		ends, err := run.Endpoints(context.Background(), x, upTo*1e-6)
		if err != nil {
			return nil, err
		}
		if len(ends) != 1 {
			return nil, fmt.Errorf("%s turns %d times: want once", mark.name, len(ends))
		}
		e := ends[0]
		p.Add(line{plotter.XYs{{X: e.ML, Y: e.P}, {X: mark.x, Y: e.P}}, thin})
		p.Add(line{plotter.XYs{{X: mark.x, Y: at(curve, e.BeginsML)}, {X: mark.x, Y: at(curve, e.CompleteML)}}, draw.LineStyle{Color: brick, Width: 5}})
		p.Add(dots{plotter.XYs{{X: e.ML, Y: e.P}}, brick})
		bold := style(11.5, true, brick)
		p.Add(note{x: mark.x, y: e.P, dx: 9, dy: points(mark.dy), text: mark.name, style: bold})
		p.Add(note{x: mark.x, y: e.P, dx: 9 + textWidth(bold, mark.name+" "), dy: points(mark.dy), text: e.From + " to " + e.To, style: style(10.5, false, soft)})
	}
	return &figure{
		title:      "Tetrasodium EDTA takes up acid in two steps, and dyes show them",
		conditions: "50 mL of 0.05 mol/L tetrasodium EDTA at 25 °C; bars are changes of colour, dots their middle",
		panels:     []*panel{p},
	}, nil
}
