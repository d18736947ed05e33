package main

import (
	"image/color"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

const centimetre = vg.Centimeter

// thin is the line of a level or a volume that curves are held against.
var thin = draw.LineStyle{Color: soft, Width: 1, Dashes: []vg.Length{2, 3}}

func points(x float64) vg.Length { return vg.Length(x) }

// hues returns n colours in the order of their use.
func hues(n int) []color.Color {
	return []color.Color{navy, brick, moss, sky, plum, amber}[:n]
}

func middle(s draw.TextStyle) draw.TextStyle { s.XAlign = text.XCenter; return s }

func right(s draw.TextStyle) draw.TextStyle { s.XAlign = text.XRight; return s }

// strip is a band across the plot, or along it.
type strip struct {
	low, high float64
	level     bool // of the vertical axis
}

func (s strip) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	r := c.Rectangle
	if s.level {
		r.Min.Y, r.Max.Y = y(s.low), y(s.high)
	} else {
		r.Min.X, r.Max.X = x(s.low), x(s.high)
	}
	c.SetColor(band)
	c.Fill(r.Path())
}

// dots are points to look at.
type dots struct {
	at  plotter.XYs
	hue color.Color
}

func (d dots) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	for _, q := range d.at {
		c.DrawGlyph(draw.GlyphStyle{Color: d.hue, Radius: 4.5, Shape: draw.CircleGlyph{}}, vg.Point{X: x(q.X), Y: y(q.Y)})
	}
}
