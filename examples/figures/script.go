package main

import (
	"strings"

	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// The raised and lowered digits and signs of Unicode are missing from many fonts.
// They are drawn from the ordinary ones, smaller.
var (
	raised  = strings.NewReplacer("⁰", "0", "¹", "1", "²", "2", "³", "3", "⁴", "4", "⁵", "5", "⁶", "6", "⁷", "7", "⁸", "8", "⁹", "9", "⁺", "+", "⁻", "−")
	lowered = strings.NewReplacer("₀", "0", "₁", "1", "₂", "2", "₃", "3", "₄", "4", "₅", "5", "₆", "6", "₇", "7", "₈", "8", "₉", "9")
)

// piece is a part of a text at one height.
type piece struct {
	text  string
	style draw.TextStyle
	lift  vg.Length
}

func pieces(s draw.TextStyle, content string) []piece {
	s.XAlign = text.XLeft
	small := s
	small.Font.Size = 0.68 * s.Font.Size
	var out []piece
	for _, r := range content {
		p := piece{string(r), s, 0}
		if up := raised.Replace(p.text); up != p.text {
			p = piece{up, small, 0.36 * s.Font.Size}
		} else if down := lowered.Replace(p.text); down != p.text {
			p = piece{down, small, -0.16 * s.Font.Size}
		}
		if n := len(out); n > 0 && out[n-1].lift == p.lift {
			out[n-1].text += p.text
		} else {
			out = append(out, p)
		}
	}
	return out
}

func textWidth(s draw.TextStyle, content string) vg.Length {
	w := vg.Length(0)
	for _, r := range pieces(s, content) {
		w += r.style.Width(r.text)
	}
	return w
}

// write draws text with raised and lowered parts from, about or up to a point.
func write(c draw.Canvas, s draw.TextStyle, at vg.Point, content string) {
	at.X += vg.Length(s.XAlign) * textWidth(s, content)
	for _, r := range pieces(s, content) {
		c.FillText(r.style, vg.Point{X: at.X, Y: at.Y + r.lift}, r.text)
		at.X += r.style.Width(r.text)
	}
}
