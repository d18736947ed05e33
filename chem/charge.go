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

// bareDigits decides what digits before a bare sign mean after the body that
// was just parsed without them: the charge or, if not that, a subscript, or why
// neither can be told. sign is +1 or −1.
func (p *formulaParser) bareDigits(digits string, sign int) (charge bool, why string) {
	if len(p.top) == 0 {
		return false, "count nothing"
	}
	const either = "could be a subscript or part of the charge"
	last := p.top[len(p.top)-1]
	alone := p.parts == 1 && len(p.top) == 1
	switch {
	case len(digits) > 1:
		return false, either
	case last.open == 0 && last.ligand, alone && last.open == '[':
		return true, ""
	case alone && last.element > 0:
		if e := elements[last.element-1]; sign < 0 && (e.halogen() || e.Symbol == "N") {
			return false, either
		}
		return true, ""
	case last.open == '(' && !last.ligand:
		return false, ""
	case last.open != 0:
		return false, either
	}
	if before := p.top[max(len(p.top)-2, 0)]; len(p.top) > 1 && before.element > 0 {
		e, b := elements[last.element-1], elements[before.element-1]
		switch {
		case e.Symbol == "H" && b.Symbol == "O" && before.count == "":
			return false, either + "; if it counts OH, put that in brackets"
		case sign > 0 && b.metal() && (e.halogen() || e.Symbol == "O" || e.Symbol == "S"):
			return false, either
		}
	}
	return false, ""
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
	digits := last.count
	switch {
	case z != sign && digits != "":
		return "^" + suffix
	case z != sign:
		digits = suffix[:len(suffix)-1]
	case digits == "" || strings.Contains(digits, "."):
		return suffix
	}
	if charge, why := p.bareDigits(digits, sign); why != "" || charge != (z != sign) {
		return "^" + suffix
	}
	return suffix
}
