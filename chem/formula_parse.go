package chem

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"
)

// Limits far beyond any formula of the trade, which keep hostile input cheap.
const (
	maxFormulaLength = 256 // bytes
	maxFormulaDepth  = 8   // brackets within brackets
	maxFormulaDigits = 6   // before, and as many after, the decimal point
	maxFormulaCount  = 1e9 // atoms of one element, multiplied out
	maxFormulaCharge = 99
)

// ParseFormula reads a chemical formula.
//
// Elements carry counts, whole or decimal: H2O, Fe0.95O. Round, square and curly brackets group and
// nest: K4[Fe(CN)6]. Addition compounds follow ·, * or a full stop: Na4(edta)·4H2O, CuSO4.5H2O.
// Subscripts and superscripts of Unicode are read as such: SO₄²⁻. Abbreviations (see [Notation])
// stand alone, after an element or in brackets: edta4-, Hedta3-, Na4(edta); with a subscript they
// need the brackets: Fe(ox)3. The longest wins: Hedta is H and edta, not helium.
//
// The charge comes last: as ^3+, (3+), a superscript, or a bare sign with or without a
// digit; else it is 0, even for a bare abbreviation. A digit before a bare sign is
//
//   - the charge after a single element, after a bare abbreviation and after
//     square brackets around the whole formula: Fe3+, S2-, Hedta3-, [Fe(CN)6]3-;
//   - a subscript elsewhere, with a single charge: HCO3-, NH4+, Fe(OH)2+;
//   - an error where both readings name ions that people write: SO42-, FeOH2+, FeCl2+,
//     Ca(edta)2-, I3-. Write SO4^2- or SO4(2-), Fe(OH)^2+, FeCl2^+, Ca(edta)^2-, I3^-.
//
// A full stop after a subscript is a decimal point if the digits before it are 0 or nothing
// follows the number (Fe0.95O, FeO1.5), a hydrate dot before a number of H2O, and
// otherwise an error. The electron is e-. Elements without a standard atomic weight are
// refused. An error is an [InputError] that tells the place.
func (n Notation) ParseFormula(s string) (Formula, error) {
	if len(s) > maxFormulaLength {
		return Formula{}, badFormula(s, maxFormulaLength, "longer than %d bytes", maxFormulaLength)
	}
	p := parsers.Get().(*formulaParser)
	defer parsers.Put(p)
	p.notation, p.input, p.err = n, s, nil
	if f := p.parse(); p.err == nil {
		return f, nil
	}
	return Formula{}, p.err
}

// parsers are kept, for most of what a reading needs is room to work in.
var parsers = sync.Pool{New: func() any { return new(formulaParser) }}

// ParseFormula is [Notation.ParseFormula] without abbreviations.
func ParseFormula(s string) (Formula, error) { return Notation{}.ParseFormula(s) }

// badFormula makes the error of a formula or species, at a byte offset.
func badFormula(input string, offset int, format string, args ...any) error {
	return &InputError{Field: "formula", Value: Echo(input), Want: "a chemical formula",
		Err: fmt.Errorf("byte %d: %w", offset, fmt.Errorf(format, args...))}
}

// A fragment is an element, an abbreviation (alone or after an element) or a bracket.
type fragment struct {
	open    byte // opening bracket, or 0
	element int  // atomic number, or 0
	ligand  bool // an abbreviation, or a bracket that holds one
	mark    int  // index of its first atom in formulaParser.atoms
	count   string
}

// A formulaParser reads up to the first complaint, which it keeps: then it stands at the end.
type formulaParser struct {
	notation     Notation
	definitions  string // of the abbreviations met
	input        string
	err          error
	folded       []byte
	at           []int  // where each byte of folded stands in input
	body         []byte // folded, less the charge
	pos          int
	atoms        []atom
	before, last fragment // of the part being read, outside brackets
	text         []byte
	room         []atom // of the formulas to come
}

// fail complains about a byte of folded.
func (p *formulaParser) fail(i int, format string, args ...any) {
	p.pos = len(p.body)
	if p.err != nil {
		return
	}
	off := len(p.input)
	if i < len(p.at) {
		off = p.at[i]
	}
	p.err = badFormula(p.input, off, format, args...)
}

// peek returns the byte now looked at; past the end 0.
func (p *formulaParser) peek() byte {
	if p.pos < len(p.body) {
		return p.body[p.pos]
	}
	return 0
}

func (p *formulaParser) parse() Formula {
	if p.fold(); len(p.folded) == 0 {
		p.err = badFormula(p.input, 0, "empty: expected a formula such as H2O")
		return Formula{}
	}
	end := p.splitCharge()
	if string(p.folded[:end.body]) == "e" {
		if end.charge != -1 || end.digits != "" {
			p.fail(0, "the electron is written e-")
		}
		return newFormula(nil, -1, "e-", &p.room)
	}

	// The digits before a bare sign are read last, when what they follow is known.
	if p.parseBody(p.folded[:end.body]); p.err == nil && end.digits != "" {
		charge, why := p.bareDigits(end.digits, end.charge)
		switch n := len(end.digits) - 1; {
		case why != "":
			body, sign := string(p.text), chargeText(end.charge)
			p.fail(end.mark, "%q %s: write %s^%s%s or %s%s^%s", end.digits, why,
				body+end.digits[:n], end.digits[n:], sign, body, end.digits, sign)
		case charge:
			end.charge *= int(end.digits[0] - '0')
		default:
			p.parseBody(p.folded[:end.body+n+1])
		}
	}
	if end.charge == 0 && end.mark > 0 {
		p.fail(end.mark, "a charge of 0 is not written")
	}
	f := newFormula(p.atoms, end.charge, p.input, &p.room)
	for _, a := range f.atoms {
		if a.n > maxFormulaCount {
			p.fail(0, "more than %g atoms of %s", float64(maxFormulaCount), elements[a.z-1].name)
		}
	}
	if f.Electrons() < 0 {
		p.fail(end.mark, "a charge of %s needs more electrons than %s has", chargeText(f.charge), string(p.text))
	}
	if p.err != nil {
		return f
	}
	p.writeCharge(f.charge)
	f.definitions = p.definitions
	if f.text != string(p.text) { // as a rule it is the same
		f.text = string(p.text)
	}
	return f
}

// parseBody reads everything but the charge.
func (p *formulaParser) parseBody(body []byte) {
	p.body, p.pos, p.atoms, p.definitions, p.text = body, 0, p.atoms[:0], "", p.text[:0]
	for {
		p.before, p.last = fragment{}, fragment{}
		mark, factor, counted := len(p.atoms), 1.0, isDigit(p.peek())
		if counted {
			_, end := p.numberEnd(p.pos)
			factor, _ = p.number(end)
		}
		p.group(0)
		for i := mark; i < len(p.atoms); i++ {
			p.atoms[i].n *= factor
		}
		if p.pos >= len(p.body) {
			if mark == 0 && counted {
				p.fail(0, "a formula does not begin with a number; a coefficient belongs to a reaction")
			}
			return
		}
		p.pos++ // the dot
		p.text = append(p.text, "·"...)
	}
}

// group reads fragments up to the end, a dot outside brackets or a closing
// bracket, which it leaves. It reports whether there was an abbreviation.
func (p *formulaParser) group(depth int) (ligands bool) {
	n := 0
	for ; p.pos < len(p.body); n++ {
		c := p.peek()
		if closes(c) && depth > 0 || (c == '*' || c == '.') && depth == 0 && n > 0 {
			break
		}
		last := p.fragment(depth)
		if isDigit(p.peek()) {
			if last.open == 0 && last.ligand {
				p.fail(p.pos, "a subscript on an abbreviation needs brackets, as in (edta)2")
				break
			}
			var count float64
			count, last.count = p.subscript(depth)
			for i := last.mark; i < len(p.atoms); i++ {
				p.atoms[i].n *= count
			}
		}
		ligands = ligands || last.ligand
		if depth == 0 {
			p.before, p.last = p.last, last
		}
	}
	if n == 0 {
		p.fail(p.pos, "expected an element, an abbreviation or a bracket")
	}
	return ligands
}

func closes(c byte) bool { return c == ')' || c == ']' || c == '}' }

// fragment reads a bracket, an element or an abbreviation.
func (p *formulaParser) fragment(depth int) fragment {
	switch c := p.peek(); {
	case isUpper(c) || isLower(c):
		return p.letters()
	case c == '(' || c == '[' || c == '{':
		return p.bracket(depth)
	case isSign(c) || c == '^':
		p.fail(p.pos, "the charge is written once and last, digits before the sign, as in SO4^2- or SO4(2-)")
	case isDigit(c):
		p.fail(p.pos, "a number here follows nothing that it could count")
	case closes(c):
		p.fail(p.pos, "%q closes nothing", c)
	case c == '*' || c == '.':
		p.fail(p.pos, "a dot stands between two formulas, outside brackets")
	default:
		r, _ := utf8.DecodeRuneInString(p.input[p.at[p.pos]:])
		p.fail(p.pos, "unexpected %q", r)
	}
	return fragment{}
}

func (p *formulaParser) bracket(depth int) fragment {
	start, inside := p.pos, len(p.text)+1
	u := fragment{open: p.peek(), mark: len(p.atoms)}
	if depth >= maxFormulaDepth {
		p.fail(start, "brackets nested more than %d deep", maxFormulaDepth)
	}
	p.pos++
	p.text = append(p.text, u.open)
	u.ligand = p.group(depth + 1)
	closing := ")]}"[strings.IndexByte("([{", u.open)]
	switch text := string(p.text[inside:]); {
	case p.pos >= len(p.body):
		p.fail(start, "%q is not closed", u.open)
	case p.peek() != closing:
		p.fail(p.pos, "expected %q to match %q at byte %d", closing, u.open, p.at[start])
	case u.open == '(' && strings.Trim(text, "IV") == "":
		p.fail(start, "(%s) would be an oxidation number: write the charge instead, as in Fe3+", text)
	}
	p.pos++
	p.text = append(p.text, closing)
	return u
}

// letters reads an element, an abbreviation, or the one followed by the other.
func (p *formulaParser) letters() fragment {
	end := p.pos + 1
	for end < len(p.body) && isLower(p.body[end]) {
		end++
	}
	word := p.input[p.at[p.pos]:][:end-p.pos] // these letters are of one byte
	n, most := 0, 0                           // letters of an element, one first: the longest abbreviation wins
	if isUpper(word[0]) {
		n, most = 1, min(2, len(word))
	}
	for ; n <= most; n++ {
		rest := word[n:]
		group, known := p.notation.ligands[rest]
		i, ok := elementBySymbol[word[:n]]
		if rest != "" && !known || n > 0 && !ok {
			continue
		}
		last := fragment{ligand: rest != "", mark: len(p.atoms)}
		if n > 0 && elements[i].weight == 0 {
			p.fail(p.pos, "%s (%s) has no standard atomic weight, so no molar mass", word[:n], elements[i].name)
			return last
		}
		if n > 0 {
			p.atoms = append(p.atoms, atom{i + 1, 1})
		}
		if rest == "" {
			last.element = i + 1
		} else {
			p.atoms = append(p.atoms, group.atoms...)
			p.define(group.definition)
		}
		p.pos = end
		p.text = append(p.text, word...)
		return last
	}
	_, isPhase := parsePhase(word)
	switch {
	case isUpper(word[0]):
		p.fail(p.pos, "%q is neither an element nor an element followed by a known abbreviation", word)
	case isPhase:
		p.fail(p.pos, "(%s) is a phase, which a species has and a formula has not", word)
	default:
		p.fail(p.pos, "unknown abbreviation %q; elements start with a capital letter", word)
	}
	return fragment{}
}

// define notes an abbreviation that the formula uses.
func (p *formulaParser) define(definition string) {
	if p.definitions == "" {
		p.definitions = definition
		return
	}
	all := append(strings.Split(p.definitions, "; "), definition)
	slices.Sort(all)
	p.definitions = strings.Join(slices.Compact(all), "; ")
}

// subscript reads the count after a fragment.
func (p *formulaParser) subscript(depth int) (float64, string) {
	whole, end := p.numberEnd(p.pos)
	if end == whole || depth > 0 || whole == p.pos+1 && p.peek() == '0' || end == len(p.body) || p.body[end] == '*' {
		return p.number(end)
	}
	n, text := p.number(whole)
	if !waterAfter.Match(p.body[whole+1:]) {
		p.fail(whole, "the full stop could be a decimal point or the dot of an addition compound: "+
			"write · for the dot, or put brackets around a decimal count, as in (Fe2.5)O4")
	}
	return n, text
}

// waterAfter is a hydrate's water, after which the formula ends or another dot comes.
var waterAfter = regexp.MustCompile(`^[0-9]+(\.[0-9]+)?H2O([*.]|$)`)

// numberEnd returns the places after the whole number that starts at i and after its decimals.
func (p *formulaParser) numberEnd(i int) (whole, end int) {
	past := func(i int) int { return len(p.body) - len(bytes.TrimLeft(p.body[i:], "0123456789")) }
	whole = past(i)
	if whole < len(p.body) && p.body[whole] == '.' && past(whole+1) > whole+1 {
		return whole, past(whole + 1)
	}
	return whole, whole
}

// number reads the number that ends before end: its value and its text, empty for one.
func (p *formulaParser) number(end int) (float64, string) {
	start, written := p.pos, string(p.body[p.pos:end])
	p.pos = end
	whole, frac, _ := strings.Cut(written, ".")
	n, err := strconv.ParseFloat(written, 64)
	switch {
	case len(whole) > maxFormulaDigits || len(frac) > maxFormulaDigits:
		p.fail(start, "more than %d digits", maxFormulaDigits)
	case len(whole) > 1 && whole[0] == '0':
		p.fail(start, "a count does not start with 0")
	case err != nil || n == 0:
		p.fail(start, "a count of zero")
	}
	text := countText(n)
	p.text = append(p.text, text...)
	return n, text
}
