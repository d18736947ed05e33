package main

import (
	"gonum.org/v1/gonum/unit"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/tables"
)

// openTub follows a bath with soda for three days, dosed for today and for good, and a
// used one with clean tools in it for a week, under each cover.
func openTub(t *tables.Tables) (*figure, error) {
	r, err := demo(t)
	if err != nil {
		return nil, err
	}
	r.Place.Cover = bath.Still
	top, err := soda(t, r)
	if err != nil {
		return nil, err
	}
	o, err := bath.FindOxide(t, "lepidocrocite")
	if err != nil {
		return nil, err
	}
	used, err := r.Mix(t)
	if err != nil {
		return nil, err
	}
	if err := used.Dissolve(o, 30*measure.Gram); err != nil {
		return nil, err
	}
	bottom := newPanel(axis{0, 168, 24}, "hours with 0.2 m² of clean tools in a used bath", axis{0, 100, 20}, "steel lost, g")
	covers := []bath.Cover{bath.Lidded, bath.Still, bath.Stirred, bath.Bubbled}
	for i, hue := range hues(len(covers)) {
		b := used.Clone()
		if err := b.Stand(bath.Place{Cover: covers[i]}); err != nil {
			return nil, err
		}
		curve, err := follow(b, bath.Parts{BareSteelCm2: 2000}, 168, func(h bath.Hour) float64 { return h.SteelLostGrams.Typical })
		if err != nil {
			return nil, err
		}
		bottom.curve(curve, hue)
		bottom.label(curve, []float64{152, 140, 96, 40}[i], []vg.Length{-18, -30, -60, -70}[i], []vg.Length{4, 8, 6, 6}[i], string(covers[i]), hue)
	}
	top.height, bottom.height = 0.8*panelHeight, 0.8*panelHeight
	return &figure{
		title:      "What gas and air do to a bath that stands",
		conditions: "500 g of the salt in 20 L of tap water at 20 °C, 1000 cm² of surface; typical rates",
		panels:     []*panel{top, bottom},
	}, nil
}

// soda draws the pH of a bath of the disodium salt with washing soda in it, as much as
// shows pH 7 today and as much as ends there.
func soda(t *tables.Tables, r recipe.Recipe) (*panel, error) {
	salt, err := t.Reagent("disodium EDTA")
	if err != nil {
		return nil, err
	}
	washing, err := t.Reagent("washing soda")
	if err != nil {
		return nil, err
	}
	r.Chelant, r.Acid = salt, washing
	p := newPanel(axis{0, 72, 12}, "hours with washing soda in a bath of disodium EDTA", axis{6, 9, 1}, "pH")
	for i, c := range []struct {
		cover bath.Cover
		name  string
	}{{bath.Lidded, "as much as shows 7 today"}, {bath.Still, "as much as ends at 7"}} {
		r.Place.Cover = c.cover // under a lid soda is dosed for today
		b, err := r.Mix(t)
		if err != nil {
			return nil, err
		}
		if err := b.Stand(bath.Place{Cover: bath.Still}); err != nil {
			return nil, err
		}
		curve, err := follow(b, bath.Parts{}, 72, func(h bath.Hour) float64 { return h.PH.Typical })
		if err != nil {
			return nil, err
		}
		hue := hues(2)[i]
		p.curve(curve, hue)
		p.label(curve, 36, -20, 12, c.name, hue)
	}
	return p, nil
}

// follow tells something of a bath over hours, at typical rates.
func follow(b *bath.Bath, p bath.Parts, hours float64, of func(bath.Hour) float64) (plotter.XYs, error) {
	const steps = 48
	var curve plotter.XYs
	for _, at := range grid(0, hours, steps) {
		h, err := b.Pass(p, unit.Time(min(at, hours/steps))*measure.Hour)
		if err != nil {
			return nil, err
		}
		y := of(h)
		if n := len(curve); n > 0 && p.BareSteelCm2 > 0 {
			y += curve[n-1].Y
		}
		curve = append(curve, plotter.XY{X: at, Y: y})
	}
	return curve, nil
}
