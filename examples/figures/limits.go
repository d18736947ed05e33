package main

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"example.com/chelation/solution/bath"
	"example.com/chelation/tables"
)

// limits shows how much of each rust equilibrium lets into the bath.
func limits(t *tables.Tables) (*figure, error) {
	r, err := demo(t)
	if err != nil {
		return nil, err
	}
	plan, err := r.Plan(t)
	if err != nil {
		return nil, err
	}
	b, err := r.Mix(t)
	if err != nil {
		return nil, err
	}
	oxides, err := bath.CommonOxides(t)
	if err != nil {
		return nil, err
	}
	p := newPanel(axis{5, 13, 1}, "pH that is held", axis{0, 1.6, 0.2}, "mol of iron in solution per mol of EDTA")
	p.Add(strip{plan.PHBefore.Low, plan.PHBefore.High, false})
	for line, words := range []string{"before", "the acid"} {
		p.Add(note{x: (plan.PHBefore.Low + plan.PHBefore.High) / 2, y: 1.6, dy: -14 - 12*vg.Length(line), text: words, style: middle(style(10.5, false, soft)), plain: true})
	}
	ages := map[string]string{"ferrihydrite": "fresh", "lepidocrocite": "usual", "goethite": "old"}
	for i, hue := range hues(len(oxides)) {
		o := oxides[i]
		var curve plotter.XYs
		for _, pH := range grid(5, 13, 200) {
			l, err := b.Limit(o, pH)
			if errors.Is(err, bath.ErrLimitless) {
				continue
			}
			if err != nil {
				return nil, err
			}
			curve = append(curve, plotter.XY{X: pH, Y: l.IronPerChelant})
		}
		p.curve(curve, hue)
		age, ok := ages[o.Name]
		if !ok {
			return nil, fmt.Errorf("no age for %s", o.Name)
		}
		edge := crossing(curve, 0.6)
		for line, word := range []string{age, "rust"} {
			p.Add(note{x: edge, y: 0.6, dx: 5, dy: 20 - 13*vg.Length(line), text: word, style: style(11.5, true, hue), plain: true})
		}
	}
	return &figure{
		title:      "At pH 11 equilibrium bars all but the freshest rust",
		conditions: "500 g of tetrasodium EDTA in 20 L; old rust is goethite, usual rust lepidocrocite, fresh rust ferrihydrite",
		panels:     []*panel{p},
	}, nil
}

// crossing returns where a curve last falls through a value.
func crossing(points plotter.XYs, y float64) float64 {
	for i := len(points) - 1; i > 0; i-- {
		a, b := points[i-1], points[i]
		if a.Y >= y && b.Y < y {
			return a.X + (b.X-a.X)*(a.Y-y)/(a.Y-b.Y)
		}
	}
	return math.NaN()
}
