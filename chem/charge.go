package chem

import (
	"cmp"
	"strconv"
	"strings"
)

// An ending is where a formula stops being body and what charge follows.
type ending struct {
	body   int    // length
	digits string // before a bare sign, meaning still open
	charge int    // final, or the sign alone while digits are open
	mark   int    // where the charge starts; 0 if there is none
}

// splitCharge takes the charge off the end.
func (p *formulaParser) splitCharge() ending {
	s := p.folded
	bracketed := len(s) > 2 && s[len(s)-1] == ')' && isSign(s[len(s)-2])
	if bracketed {
		s = s[:len(s)-1]
	}
	n := len(s) - 1
	if !isSign(s[n]) {
		return ending{body: len(s)}
	}
	first := n // of the digits
	for first > 0 && (isDigit(s[first-1]) || s[first-1] == '.') {
		first--
	}
	e, digits := ending{body: first, charge: 1, mark: first}, string(s[first:n])
	if s[n] == '-' {
		e.charge = -1
	}
	switch {
	case first > 0 && (bracketed && s[first-1] == '(' || !bracketed && s[first-1] == '^'):
		e.body, e.mark = first-1, first-1
		z, err := strconv.Atoi(cmp.Or(digits, "1"))
		if err != nil || z > maxFormulaCharge {
			p.fail(e.mark, "the charge is a whole number up to %d", maxFormulaCharge)
		}
		e.charge *= z
	case bracketed:
		p.fail(n, "a sign inside brackets: the charge is written at the end, as (3+)")
	case strings.Contains(digits, "."):
		e.body = n // FeO1.5-: no charge has a decimal point
	default:
		e.digits = digits
	}
	if e.body == 0 {
		p.fail(e.mark, "a charge without a formula")
	}
	return e
}

// bareDigits decides what digits before a bare sign mean after the body that was just parsed:
// the charge, else a subscript, or why neither can be told.
func (p *formulaParser) bareDigits(digits string, sign int) (charge bool, why string) {
	const either = "could be a subscript or part of the charge"
	last, before := p.last, p.before
	alone := last.mark == 0
	switch {
	case len(digits) > 1:
		return false, either
	case last.open == 0 && last.ligand, alone && last.open == '[':
		return true, ""
	case alone && last.element > 0:
		if e := elements[last.element-1]; sign < 0 && (e.halogen() || e.symbol == "N") {
			return false, either
		}
		return true, ""
	case last.open == '(' && !last.ligand:
		return false, ""
	case last.open != 0:
		return false, either
	}
	if before.element > 0 {
		e, b := elements[last.element-1], elements[before.element-1]
		switch {
		case e.symbol == "H" && b.symbol == "O" && before.count == "":
			return false, either + "; if it counts OH, put that in brackets"
		case sign > 0 && b.metal() && (e.halogen() || e.symbol == "O" || e.symbol == "S"):
			return false, either
		}
	}
	return false, ""
}

// writeCharge appends the charge so that it reads back after the body.
func (p *formulaParser) writeCharge(z int) {
	size, digits := max(z, -z), p.last.count
	caret := size > 1 && digits != ""
	if !caret && (size > 1 || size == 1 && digits != "" && !strings.Contains(digits, ".")) {
		charge, why := p.bareDigits(cmp.Or(digits, strconv.Itoa(size)), z)
		caret = why != "" || charge != (size > 1)
	}
	if caret {
		p.text = append(p.text, '^')
	}
	p.text = appendCharge(p.text, z)
}
