package main

import (
	"bytes"
	"fmt"
	"image/color"
	"io"
	"regexp"
	"slices"

	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/recorder"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"
)

// A figure says in its title what is to be seen, and under it for what
// conditions. Its panels stand on each other and share their width.
type figure struct {
	title, conditions string
	panels            []*panel
}

// Sizes are chosen so that text is legible when a page shows the figure at half
// its size.
const (
	width       = 19 * vg.Centimeter
	margin      = 0.45 * vg.Centimeter
	panelHeight = 10 * vg.Centimeter
	head        = 1.75 * vg.Centimeter // title and conditions
	foot        = 0.2 * vg.Centimeter
	resolution  = 144 // dots per inch of the PNG
)

func (f *figure) height() vg.Length {
	h := head + foot
	for _, p := range f.panels {
		h += p.height
	}
	return h
}

func (f *figure) svg(w io.Writer) error {
	c := vgsvg.New(width, f.height())
	f.draw(draw.New(c))
	var b bytes.Buffer
	if _, err := c.WriteTo(&b); err != nil {
		return err
	}
	// Readers without this font get one of the same widths, or at least a plain one; a text
	// is as wide in any, so that it neither runs into another nor off the figure.
	const family = "font-family:Liberation Sans"
	out := bytes.ReplaceAll(b.Bytes(), []byte(family), []byte(family+",Arial,Helvetica,sans-serif"))
	texts := f.texts()
	out = textElement.ReplaceAllFunc(out, func(tag []byte) []byte {
		wide := texts[0].wide
		texts = texts[1:]
		return fmt.Appendf(slices.Clip(tag), ` xml:space="preserve" textLength="%.2f" lengthAdjust="spacingAndGlyphs"`, wide)
	})
	_, err := w.Write(comment.ReplaceAll(out, nil))
	return err
}

var (
	textElement = regexp.MustCompile(`<text\b`)
	comment     = regexp.MustCompile(`<!--.*-->\n`)
)

// writing is a text as it is drawn, from a point on, in points.
type writing struct {
	text string
	at   vg.Point
	wide vg.Length
}

// texts returns what is written, in the order of drawing.
func (f *figure) texts() []writing {
	var canvas recorder.Canvas
	f.draw(draw.NewCanvas(&canvas, width, f.height()))
	var out []writing
	for _, a := range canvas.Actions {
		if s, ok := a.(*recorder.FillString); ok {
			face := font.DefaultCache.Lookup(s.Font, s.Size)
			out = append(out, writing{s.String, s.Point, face.Width(s.String)})
		}
	}
	return out
}

func (f *figure) png(w io.Writer) error {
	c := vgimg.NewWith(vgimg.UseWH(width, f.height()), vgimg.UseDPI(resolution))
	f.draw(draw.New(c))
	_, err := vgimg.PngCanvas{Canvas: c}.WriteTo(w)
	return err
}

func (f *figure) draw(c draw.Canvas) {
	c.SetColor(color.White)
	c.Fill(c.Rectangle.Path())
	left := c.Min.X + margin
	write(c, style(15, true, ink), vg.Point{X: left, Y: c.Max.Y - 0.75*vg.Centimeter}, f.title)
	write(c, style(10.5, false, soft), vg.Point{X: left, Y: c.Max.Y - 1.3*vg.Centimeter}, f.conditions)

	top := c.Max.Y - head
	var areas []draw.Canvas
	for _, p := range f.panels {
		area := c
		area.Max.Y, area.Min.Y = top, top-p.height
		top -= p.height
		areas = append(areas, area)
	}
	// The widest labels of all panels set the left edge of each.
	edge := vg.Length(0)
	for i, p := range f.panels {
		edge = max(edge, p.DataCanvas(areas[i]).Min.X-areas[i].Min.X)
	}
	for i, p := range f.panels {
		area := areas[i]
		own := p.DataCanvas(area).Min.X - area.Min.X
		write(c, style(12, false, ink), vg.Point{X: left, Y: area.Max.Y - 0.5*vg.Centimeter}, p.quantity)
		p.Draw(draw.Crop(area, edge-own+margin, -p.right, 0.15*vg.Centimeter, -0.85*vg.Centimeter))
	}
}
