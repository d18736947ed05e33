package chem

import (
	"strconv"
	"strings"
)

// An ending is a formula split into its body and its charge.
type ending struct {
	body    []glyph
	digits  []glyph // before a bare sign, meaning still open
	charge  int     // final, or the sign alone while digits are open
	written bool
	off     int // where the charge starts
}

// splitCharge takes the charge off the end.
func (p *formulaParser) splitCharge(g []glyph) (ending, error) {
	n := len(g)
	bracketed := n >= 3 && g[n-1].is(')') && g[n-2].sign()
	if bracketed {
		n--
	}
	if !g[n-1].sign() {
		return ending{body: g}, nil
	}
	sign := 1
	if g[n-1].r == '-' {
		sign = -1
	}
	lvl := g[n-1].level
	first := n - 1 // of the digits
	decimal := false
	for first > 0 && g[first-1].level == lvl &&
		(g[first-1].r >= '0' && g[first-1].r <= '9' || lvl == onLine && g[first-1].r == '.') {
		first--
		decimal = decimal || g[first].r == '.'
	}
	digits := g[first : n-1]
	e := ending{charge: sign, written: true, off: g[first].off}
	explicit := true
	switch {
	case bracketed:
		if first == 0 || !g[first-1].is('(') {
			return e, p.errorAt(g[n-1].off, "a sign inside brackets: the charge is written at the end, as (3+)")
		}
		e.body, e.off = g[:first-1], g[first-1].off
	case lvl == above:
		e.body = g[:first]
	case first > 0 && g[first-1].is('^'):
		e.body, e.off = g[:first-1], g[first-1].off
	case first > 0 && g[first-1].level == below:
		e.body = g[:first] // SO₄2-: the subscript is marked, so this is the charge
	case decimal:
		e.body, digits = g[:n-1], nil // FeO1.5-: no charge has a decimal point
	default:
		e.body, explicit = g[:first], false
	}
	if len(e.body) == 0 {
		return e, p.errorAt(e.off, "a charge without a formula")
	}
	if !explicit {
		e.digits = digits
		return e, nil
	}
	if len(digits) > 0 {
		z, err := strconv.Atoi(written(digits))
		if err != nil || z > maxFormulaCharge {
			return e, p.errorAt(e.off, "the charge is a whole number up to %d", maxFormulaCharge)
		}
		e.charge = sign * z
	}
	return e, nil
}

type digitMeaning int8

const (
	ambiguous digitMeaning = iota
	asCharge
	asSubscript
)

// bareDigits decides what digits before a bare sign mean after the body that
// was just parsed without them; sign is +1 or −1.
func (p *formulaParser) bareDigits(digits string, sign int) (digitMeaning, string) {
	if len(p.top) == 0 {
		return ambiguous, "count nothing"
	}
	last := p.top[len(p.top)-1]
	single := len(digits) == 1
	alone := p.parts == 1 && len(p.top) == 1
	const why = "could be a subscript or part of the charge"
	switch {
	case !single:
		return ambiguous, why
	case last.open == 0 && last.ligand:
		return asCharge, ""
	case alone && last.element > 0:
		if e := elements[last.element-1]; sign < 0 && (e.halogen() || e.Symbol == "N") {
			return ambiguous, why
		}
		return asCharge, ""
	case alone && last.open == '[':
		return asCharge, ""
	case last.open == '(' && !last.ligand:
		return asSubscript, ""
	case last.open != 0:
		return ambiguous, why
	}
	if len(p.top) >= 2 {
		e, before := elements[last.element-1], p.top[len(p.top)-2]
		if before.element > 0 {
			b := elements[before.element-1]
			hydroxide := e.Symbol == "H" && b.Symbol == "O" && before.count == ""
			binary := sign > 0 && b.metal() && (e.halogen() || e.Symbol == "O" || e.Symbol == "S")
			if hydroxide {
				return ambiguous, why + "; if it counts OH, put that in brackets"
			}
			if binary {
				return ambiguous, why
			}
		}
	}
	return asSubscript, ""
}

// chargeSuffix writes the charge so that it reads back after the body.
func (p *formulaParser) chargeSuffix(z int) string {
	suffix := chargeText(z)
	if z == 0 {
		return suffix
	}
	sign := 1
	if z < 0 {
		sign = -1
	}
	last := p.top[len(p.top)-1]
	meant, digits := asSubscript, last.count
	switch {
	case z != sign && digits != "":
		return "^" + suffix
	case z != sign:
		meant, digits = asCharge, suffix[:len(suffix)-1]
	case digits == "" || strings.Contains(digits, "."):
		return suffix
	}
	if got, _ := p.bareDigits(digits, sign); got != meant {
		return "^" + suffix
	}
	return suffix
}
