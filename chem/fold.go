package chem

import (
	"slices"
	"strings"
	"unicode/utf8"
)

var superscripts = []rune("⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻")

func isDigit(c byte) bool     { return c >= '0' && c <= '9' }
func isSign(c byte) bool      { return c == '+' || c == '-' }
func isLower(c byte) bool     { return c >= 'a' && c <= 'z' }
func isUpper(c byte) bool     { return c >= 'A' && c <= 'Z' }
func isSubscript(r rune) bool { return r >= '₀' && r <= '₉' }

// fold writes the input, trimmed, in ASCII: * for the dot of an addition compound, a caret
// where digits change their level and before superscripts, 0 for what no formula holds.
func (p *formulaParser) fold() {
	const onLine, below, above = 0, 1, 2
	p.folded, p.at = p.folded[:0], p.at[:0]
	text := strings.TrimRight(p.input, " \t\r\n")
	start := len(text) - len(strings.TrimLeft(text, " \t\r\n"))
	last, afterDigit := onLine, false
	for i, r := range text[start:] {
		c, level := byte(0), onLine
		switch k := slices.Index(superscripts, r); {
		case k >= 0:
			c, level = "0123456789+-"[k], above
		case isSubscript(r):
			c, level = '0'+byte(r-'₀'), below
		case r == '−' || r == '–': // minus sign, en dash
			c = '-'
		case strings.ContainsRune("·∙⋅•", r):
			c = '*'
		case r == '.' && last == below:
			c = '*'
			if next, _ := utf8.DecodeRuneInString(text[start+i+1:]); isSubscript(next) {
				c, level = '.', below
			}
		case r < utf8.RuneSelf:
			c = byte(r)
		}
		if level != last && (level == above || afterDigit && (isDigit(c) || isSign(c))) {
			p.folded, p.at = append(p.folded, '^'), append(p.at, start+i)
		}
		p.folded, p.at = append(p.folded, c), append(p.at, start+i)
		last, afterDigit = level, isDigit(c)
	}
}
