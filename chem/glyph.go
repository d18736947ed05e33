package chem

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// A glyph is a character of the formula after Unicode forms of digits, signs
// and dots have been folded to one each.
type glyph struct {
	r     rune
	level level
	off   int // byte offset in the input
}

type level int8

const (
	onLine level = iota
	below        // Unicode subscript
	above        // Unicode superscript
)

func (g glyph) digit() bool { return g.r >= '0' && g.r <= '9' && g.level != above }
func (g glyph) lower() bool { return g.r >= 'a' && g.r <= 'z' }
func (g glyph) upper() bool { return g.r >= 'A' && g.r <= 'Z' }
func (g glyph) sign() bool  { return g.r == '+' || g.r == '-' }
func (g glyph) is(r rune) bool {
	return g.r == r && g.level == onLine
}

// written returns glyphs as text.
func written(glyphs []glyph) string {
	text := make([]byte, 0, 16)
	for _, g := range glyphs {
		text = utf8.AppendRune(text, g.r)
	}
	return string(text)
}

// fold turns the Unicode forms of digits, signs and dots into one each.
func fold(r rune) (rune, level) {
	switch {
	case r < utf8.RuneSelf && r != '*':
		return r, onLine
	case r >= '₀' && r <= '₉':
		return '0' + r - '₀', below
	case r == '−' || r == '–': // minus sign, en dash
		return '-', onLine
	case strings.ContainsRune("*∙⋅•", r):
		return '·', onLine
	}
	if i := slices.Index([]rune("⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻"), r); i >= 0 {
		return rune("0123456789+-"[i]), above
	}
	return r, onLine
}

// scan folds the input to glyphs and trims white space around it.
func (p *formulaParser) scan() ([]glyph, error) {
	left := len(p.input) - len(strings.TrimLeft(p.input, " \t\r\n"))
	right := len(strings.TrimRight(p.input, " \t\r\n"))
	if left >= right {
		return nil, p.errorAt(0, "empty: expected a formula such as H2O")
	}
	glyphs := p.glyphs[:0]
	for i := left; i < right; {
		r, size := utf8.DecodeRuneInString(p.input[i:])
		if r == utf8.RuneError && size == 1 {
			return nil, p.errorAt(i, "not valid UTF-8")
		}
		folded, height := fold(r)
		glyphs = append(glyphs, glyph{folded, height, i})
		i += size
	}
	p.glyphs = glyphs
	return glyphs, nil
}
