package main

import (
	"image/color"
	"math"
	"strconv"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Ink for text, a soft one for what stands back, and hues for curves. The hues
// differ in brightness as well, from dark to light, so that they hold in grey;
// and no two curves of a panel share a dash, so that no curve is told by its hue
// alone. Each curve carries its name.
var (
	ink   = color.RGBA{0x22, 0x22, 0x26, 0xff}
	soft  = color.RGBA{0x6a, 0x6a, 0x72, 0xff}
	faint = color.RGBA{0xe3, 0xe3, 0xe6, 0xff}
	band  = color.RGBA{0xf4, 0xf1, 0xec, 0xff}

	navy  = color.RGBA{0x1c, 0x2f, 0x5a, 0xff}
	brick = color.RGBA{0x9c, 0x3d, 0x14, 0xff}
	moss  = color.RGBA{0x4f, 0x7f, 0x4c, 0xff}
	sky   = color.RGBA{0x4b, 0x93, 0xc3, 0xff}
	amber = color.RGBA{0xd9, 0x96, 0x1f, 0xff}
	plum  = color.RGBA{0x7d, 0x4f, 0x8c, 0xff}
)

// Dashes, in the order in which a panel uses them.
var dashes = [][]vg.Length{nil, {9, 4}, {2.5, 3}, {10, 3, 2.5, 3}, {5, 2.5}, {14, 4, 2.5, 4, 2.5, 4}, {1.2, 2.2}, {18, 5}}

var sans = font.Font{Typeface: "Liberation", Variant: "Sans"}

func init() {
	plot.DefaultFont = sans
	plotter.DefaultFont = sans
}

// style is a text of some size in points.
func style(size vg.Length, bold bool, c color.Color) draw.TextStyle {
	f := sans
	f.Size = size
	if bold {
		f.Weight = 3 // of golang.org/x/image/font: bold
	}
	return draw.TextStyle{Color: c, Font: f, Handler: plot.DefaultTextHandler}
}

// panel is a plot with its vertical quantity written level, above its axis.
type panel struct {
	*plot.Plot
	quantity string
	height   vg.Length
	right    vg.Length // kept free for what is written beside the plot
	curves   int
}

// axis is the span of an axis with the distance of its ticks.
type axis struct{ low, high, step float64 }

func newPanel(x axis, xName string, y axis, yName string) *panel {
	p := &panel{Plot: plot.New(), quantity: yName, height: panelHeight, right: 0.6 * vg.Centimeter}
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = x.low, x.high, y.low, y.high
	p.X.Tick.Marker, p.Y.Tick.Marker = x, y
	p.X.Label.Text = xName
	p.X.Label.TextStyle = centred(style(12, false, ink))
	p.X.Label.Padding = 3
	for _, a := range []*plot.Axis{&p.X, &p.Y} {
		a.Padding = 4
		a.LineStyle = draw.LineStyle{Color: soft, Width: 0.8}
		a.Tick.LineStyle = draw.LineStyle{Color: soft, Width: 0.8}
		a.Tick.Length = 4
	}
	p.X.Tick.Label = centred(style(11, false, ink))
	p.X.Tick.Label.YAlign = text.YTop
	p.Y.Tick.Label = style(11, false, ink)
	p.Y.Tick.Label.XAlign, p.Y.Tick.Label.YAlign = text.XRight, text.YCenter
	p.Add(rules(y))
	return p
}

func centred(s draw.TextStyle) draw.TextStyle {
	s.XAlign, s.YAlign = text.XCenter, text.YBottom
	return s
}

// Ticks marks the axis at its steps.
func (a axis) Ticks(low, high float64) []plot.Tick {
	var out []plot.Tick
	for i := 0; a.low+float64(i)*a.step <= a.high+1e-9*a.step; i++ {
		v := a.low + float64(i)*a.step
		out = append(out, plot.Tick{Value: v, Label: number(v)})
	}
	return out
}

// number writes a tick, with a minus of full width.
func number(v float64) string {
	if math.Abs(v) < 1e-12 {
		v = 0
	}
	s := strconv.FormatFloat(v, 'g', 6, 64)
	if v < 0 {
		s = "−" + s[1:]
	}
	return s
}

// rules are faint lines across the plot at the ticks of the vertical axis.
type rules axis

func (r rules) Plot(c draw.Canvas, p *plot.Plot) {
	_, y := p.Transforms(&c)
	for _, t := range axis(r).Ticks(0, 0) {
		c.StrokeLine2(draw.LineStyle{Color: faint, Width: 0.7}, c.Min.X, y(t.Value), c.Max.X, y(t.Value))
	}
}

// curve adds a line in the panel's next dash.
func (p *panel) curve(points plotter.XYs, hue color.Color) {
	p.Add(line{points, draw.LineStyle{Color: hue, Width: 2.4, Dashes: dashes[p.curves%len(dashes)]}})
	p.curves++
}

// line is a plotter.Line that is clipped to the plot and skips what is not
// finite.
type line struct {
	points plotter.XYs
	style  draw.LineStyle
}

func (l line) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	var pieces [][]vg.Point
	var piece []vg.Point
	for _, q := range l.points {
		if math.IsNaN(q.Y) || math.IsInf(q.Y, 0) {
			pieces, piece = append(pieces, piece), nil
			continue
		}
		piece = append(piece, vg.Point{X: x(q.X), Y: y(q.Y)})
	}
	c.StrokeLines(l.style, c.ClipLinesXY(append(pieces, piece)...)...)
}

// note writes a text at a place of the plot, moved by some points.
type note struct {
	x, y   float64
	dx, dy vg.Length
	text   string
	style  draw.TextStyle
	plain  bool // without a white ground
}

func (n note) Plot(c draw.Canvas, p *plot.Plot) {
	x, y := p.Transforms(&c)
	at := vg.Point{X: x(n.x) + n.dx, Y: y(n.y) + n.dy}
	if !n.plain {
		w := textWidth(n.style, n.text)
		r := vg.Rectangle{Min: vg.Point{X: at.X + vg.Length(n.style.XAlign)*w - 1.5, Y: at.Y - 0.2*n.style.Font.Size}}
		r.Max = vg.Point{X: r.Min.X + w + 3, Y: at.Y + 0.8*n.style.Font.Size}
		c.SetColor(color.White)
		c.Fill(r.Path())
	}
	write(c, n.style, at, n.text)
}

// label writes the name of a curve beside it, in its hue.
func (p *panel) label(points plotter.XYs, x float64, dx, dy vg.Length, name string, hue color.Color) {
	p.Add(note{x: x, y: at(points, x), dx: dx, dy: dy, text: name, style: style(11.5, true, hue)})
}

// at interpolates a curve.
func at(points plotter.XYs, x float64) float64 {
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		if (a.X-x)*(b.X-x) <= 0 && a.X != b.X {
			return a.Y + (b.Y-a.Y)*(x-a.X)/(b.X-a.X)
		}
	}
	return math.NaN()
}

// grid returns n+1 values from low to high.
func grid(low, high float64, n int) []float64 {
	out := make([]float64, n+1)
	for i := range out {
		out[i] = low + (high-low)*float64(i)/float64(n)
	}
	return out
}
