package main

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/unit"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg/draw"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

// dipTime shows what strength and warmth do to the time in the bath.
func dipTime(t *tables.Tables) (*figure, error) {
	r, err := demo(t)
	if err != nil {
		return nil, err
	}
	pace, err := rust.NewPace(t)
	if err != nil {
		return nil, err
	}
	fresh, err := t.Rust("fresh orange rust")
	if err != nil {
		return nil, err
	}
	layer, err := rust.LayerOfThickness(fresh, 25e-6)
	if err != nil {
		return nil, err
	}
	oxide, err := bath.FindOxide(t, "lepidocrocite")
	if err != nil {
		return nil, err
	}
	dip := rust.Dip{Rust: fresh, Layer: layer, Area: 0.2, Oxide: oxide, Held: true}

	p := newPanel(axis{0, 120, 10}, "tetrasodium EDTA, g per litre of water", axis{0, 2, 1}, "hours to clean")
	p.Y.Min = -0.2
	p.Y.Tick.Marker = decades{}
	p.X.Tick.Marker = axis{0, 100, 10}
	for i, celsius := range []float64{20, 35} {
		hue := hues(2)[i]
		r.Temperature = chem.Celsius(celsius)
		var typical plotter.XYs
		var spread tables.Range
		for _, grams := range []float64{6, 7, 8, 10, 12, 15, 20, 25, 30, 40, 50, 60, 80, 100} {
			r.Amount = measure.AmountOfMass(unit.Mass(grams) * unit.Mass(r.Volume)) // g/L times m³ is kg
			tub, err := r.Mix(t)
			if err != nil {
				return nil, err
			}
			d, err := pace.Time(tub, dip)
			if err != nil {
				return nil, err
			}
			if d.RustDissolvedFraction < 1 {
				return nil, fmt.Errorf("%g g/L stop before the part is clean", grams)
			}
			typical = append(typical, plotter.XY{X: grams, Y: math.Log10(d.Hours.Typical)})
			spread = d.Hours
		}
		p.curve(typical, hue)
		p.label(typical, 70, 0, 7, fmt.Sprintf("%g °C", celsius), hue)
		// How wide the last one is, beside the curves.
		x := 107 + 6*float64(i)
		ends := plotter.XYs{{X: x, Y: math.Log10(spread.Low)}, {X: x, Y: math.Log10(spread.High)}}
		p.Add(line{ends, draw.LineStyle{Color: hue, Width: 5}})
		p.Add(dots{plotter.XYs{{X: x, Y: math.Log10(spread.Typical)}}, hue})
	}
	return &figure{
		title:      "Warmer is faster, stronger hardly",
		conditions: "0.2 m² of fresh rust, 25 µm, still bath kept at pH 7; bars hold nine cases in ten at 100 g/L",
		panels:     []*panel{p},
	}, nil
}

// decades marks an axis of logarithms at 1, 2, 5, 10 and so on.
type decades struct{}

func (decades) Ticks(low, high float64) []plot.Tick {
	var out []plot.Tick
	for n := math.Floor(low); n <= high; n++ {
		for _, digit := range []float64{1, 2, 5} {
			value := digit * math.Pow(10, n)
			if x := math.Log10(value); x >= low-1e-9 && x <= high+1e-9 {
				out = append(out, plot.Tick{Value: x, Label: number(value)})
			}
		}
	}
	return out
}
