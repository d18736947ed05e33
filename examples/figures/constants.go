package main

import (
	"gonum.org/v1/plot/plotter"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// constants shows how firmly EDTA holds each metal at each pH.
func constants(t *tables.Tables) (*figure, error) {
	bath := solution.Surroundings{Temperature: chem.Celsius(20), IonicStrength: 0.4, Free: map[string]float64{"Na+": 0.2}}
	metals := []struct {
		species, name string
		x, dx, dy     float64
	}{
		{"Fe3+", "iron(III)", 13, 6, -4},
		{"Cu2+", "copper", 13, 6, -1},
		{"Zn2+", "zinc", 13, 6, -8},
		{"Fe2+", "iron(II)", 13, 6, -5},
		{"Ca2+", "calcium", 13, 6, -4},
		{"Mg2+", "magnesium", 13, 6, -3},
	}
	p := newPanel(axis{1, 13, 1}, "pH", axis{0, 18, 2}, "log K′ with EDTA")
	p.Add(line{plotter.XYs{{X: 1, Y: solution.EndpointLogK}, {X: 13, Y: solution.EndpointLogK}}, thin})
	p.right = 2.75 * centimetre
	for i, hue := range hues(len(metals)) {
		m := metals[i]
		pair, err := solution.NewPair(t, m.species, "edta", bath)
		if err != nil {
			return nil, err
		}
		var curve plotter.XYs
		for _, pH := range grid(1, 13, 240) {
			curve = append(curve, plotter.XY{X: pH, Y: pair.LogConditional(pH)})
		}
		p.curve(curve, hue)
		p.label(curve, m.x, points(m.dx), points(m.dy), m.name, hue)
	}
	return &figure{
		title:      "Every metal has its pH: iron(III) in acid, calcium in alkali",
		conditions: "20 °C, ionic strength 0.4 mol/L, 0.2 mol/L free sodium; above the dotted line EDTA takes all of the metal",
		panels:     []*panel{p},
	}, nil
}
