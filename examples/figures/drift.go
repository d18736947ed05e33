package main

import (
	"gonum.org/v1/plot/plotter"

	"example.com/chelation/solution/bath"
	"example.com/chelation/tables"
)

// drift follows two baths as rust dissolves: one left alone, one whose pH is kept
// with acid.
func drift(t *tables.Tables) (*figure, error) {
	r, err := demo(t)
	if err != nil {
		return nil, err
	}
	b, err := r.Mix(t)
	if err != nil {
		return nil, err
	}
	o, err := bath.FindOxide(t, "lepidocrocite")
	if err != nil {
		return nil, err
	}
	alone, err := b.Drift(o, 60)
	if err != nil {
		return nil, err
	}
	const rise = 0.5
	kept, err := b.Upkeep(r.Acid, o, r.PH, rise)
	if err != nil {
		return nil, err
	}
	var pH, free, keptPH, keptFree plotter.XYs
	for _, x := range alone {
		pH = append(pH, plotter.XY{X: x.RustGrams, Y: x.PH})
		free = append(free, plotter.XY{X: x.RustGrams, Y: 100 * x.FreeChelantFraction})
	}
	// Free chelant of the kept bath is told as room for iron: in g, of a mol each.
	chelant := alone[0].FreeChelantMolPerLitre * b.Litres() / alone[0].FreeChelantFraction
	const ironMolarMass = 55.845 // g/mol, IUPAC 2021
	keptPH = append(keptPH, pH[0])
	keptFree = append(keptFree, free[0])
	rust := 0.0
	for _, d := range kept.Doses {
		rust += d.RustGrams
		keptPH = append(keptPH, plotter.XY{X: rust, Y: d.PHFrom}, plotter.XY{X: rust, Y: d.PHTo})
		keptFree = append(keptFree, plotter.XY{X: rust, Y: 100 * d.RoomIronGrams / ironMolarMass / chelant})
	}
	end, last := pH[len(pH)-1], free[len(free)-1]

	x := axis{0, 120, 20}
	top := newPanel(x, "", axis{6, 11, 1}, "pH")
	bottom := newPanel(x, "rust dissolved, g of lepidocrocite", axis{0, 100, 20}, "EDTA that holds no metal, %")
	top.height, bottom.height = 0.8*panelHeight, 0.8*panelHeight
	top.curve(pH, brick)
	top.curve(keptPH, navy)
	top.Add(dots{plotter.XYs{end}, brick})
	top.Add(note{x: end.X, y: end.Y, dx: 10, dy: -3, text: "left alone, it stops here", style: style(11.5, true, brick)})
	top.label(keptPH, 24, 0, -30, "kept with citric acid", navy)
	bottom.curve(free, brick)
	bottom.curve(keptFree, navy)
	bottom.Add(dots{plotter.XYs{last}, brick})
	bottom.Add(note{x: last.X, y: last.Y, dx: 10, dy: 6, text: "not spent, only alkaline", style: style(11.5, true, brick)})
	done := keptFree[len(keptFree)-1]
	bottom.Add(dots{plotter.XYs{done}, navy})
	bottom.Add(note{x: done.X, y: done.Y, dx: -60, dy: -22, text: "time for a new bath", style: style(11.5, true, navy)})
	return &figure{
		title:      "A bath that stops need not be spent: its pH has climbed",
		conditions: demoConditions + ", started at pH 7",
		panels:     []*panel{top, bottom},
	}, nil
}
