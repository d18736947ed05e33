package main

import (
	"fmt"

	"gonum.org/v1/gonum/unit"
	"gonum.org/v1/plot/plotter"

	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// neutralisation shows the pH against the acid, what a strip reads, and the
// additions that the plan advises.
func neutralisation(t *tables.Tables) (*figure, error) {
	r, err := demo(t)
	if err != nil {
		return nil, err
	}
	plan, err := r.Plan(t)
	if err != nil {
		return nil, err
	}
	colours, err := t.Strip("wide-range pH strip")
	if err != nil {
		return nil, err
	}
	raw, err := solution.New(t, r.Temperature)
	if err != nil {
		return nil, err
	}
	if err := raw.AddWater(r.Water, r.Volume); err != nil {
		return nil, err
	}
	if err := raw.Add(r.Chelant, plan.Chelant.Mass()); err != nil {
		return nil, err
	}
	with := func(grams float64) (float64, error) {
		v := raw.Clone()
		if err := v.Add(r.Acid, unit.Mass(grams/1000)); err != nil {
			return 0, err
		}
		st, err := v.Equilibrate()
		if err != nil {
			return 0, err
		}
		return st.PH, nil
	}

	const most = 120 // g
	p := newPanel(axis{0, most, 10}, "citric acid added, g", axis{5.5, 12, 0.5}, "pH")
	p.Y.Tick.Marker = axis{6, 12, 1}
	p.right = 2.6 * centimetre
	for i, mark := range colours.Marks() {
		low, high := max(mark-colours.Step/2, p.Y.Min), min(mark+colours.Step/2, p.Y.Max)
		if low >= high {
			continue
		}
		if i%2 == 0 {
			p.Add(strip{low, high, true})
		}
		p.Add(note{x: most, y: (low + high) / 2, dx: 8, dy: -4, text: fmt.Sprintf("strip reads %g", mark), style: style(10.5, false, soft), plain: true})
	}
	p.Add(line{plotter.XYs{{X: 0, Y: plan.PHAfter}, {X: most, Y: plan.PHAfter}}, thin})

	var curve plotter.XYs
	for _, g := range grid(0, most, 240) {
		pH, err := with(g)
		if err != nil {
			return nil, err
		}
		curve = append(curve, plotter.XY{X: g, Y: pH})
	}
	p.curve(curve, navy)

	// The advised additions as stairs: across by what goes in, down to what it
	// makes of the pH.
	grams, pH := 0.0, curve[0].Y
	stairs := plotter.XYs{{X: 0, Y: pH}}
	reads := plotter.XYs{}
	for _, s := range plan.Steps {
		for range s.Times {
			grams += 1000 * float64(s.Portion.Mass())
			next, err := with(grams)
			if err != nil {
				return nil, err
			}
			stairs = append(stairs, plotter.XY{X: grams, Y: pH}, plotter.XY{X: grams, Y: next})
			reads = append(reads, plotter.XY{X: grams, Y: next})
			pH = next
		}
	}
	p.curve(stairs, brick)
	p.Add(dots{reads, brick})
	first := plan.Steps[0]
	spoon := style(11.5, true, brick)
	p.Add(note{x: 1, y: stairs[0].Y, dy: 6, text: "1. stir in " + first.Portion.Text(), style: spoon, plain: true})
	p.Add(note{x: 1, y: 7.75, text: "2. then " + plan.Steps[len(plan.Steps)-1].Portion.Text(), style: spoon, plain: true})
	p.Add(note{x: 1, y: 7.75, dy: -15, text: "at a time, with a reading after each", style: spoon, plain: true})
	p.label(curve, 30, -30, -24, "pH of the bath", navy)
	return &figure{
		title:      "Most of the acid at once, the rest by the spoon",
		conditions: demoConditions,
		panels:     []*panel{p},
	}, nil
}
