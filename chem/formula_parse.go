package chem

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"
)

// Limits of what ParseFormula takes. They are far beyond any formula of the
// trade and keep hostile input cheap.
const (
	maxFormulaLength = 256 // bytes
	maxFormulaDepth  = 8   // brackets within brackets
	maxFormulaDigits = 6   // before, and as many after, the decimal point
	maxFormulaCount  = 1e9 // atoms of one element, multiplied out
	maxFormulaCharge = 99
)

// ParseFormula reads a chemical formula.
//
// Elements carry counts, whole or decimal: H2O, Fe0.95O. Round, square and
// curly brackets group and nest: Ca(HCO3)2, K4[Fe(CN)6]. Hydrates and other
// addition compounds follow · or *, or a full stop: Na4(edta)·4H2O,
// Na2H(cit)*1.5H2O, CuSO4.5H2O. Subscripts and superscripts of Unicode are
// read as such: SO₄²⁻. Ligand abbreviations (see [Notation]) are lower
// case and may stand alone, after an element or in brackets: edta4-, Hedta3-,
// Na4(edta); with a subscript they need the brackets: Fe(ox)3. Where letters
// could be split in two ways the longest abbreviation wins: Hedta is H and
// edta, not helium.
//
// The charge comes last: as ^3+, (3+), a superscript, or a bare sign with or
// without a digit. Without any of these the charge is 0, even for a bare
// abbreviation: write edta4- when the ion is meant. A digit before a bare sign
// has two possible meanings, and is
//
//   - the charge after a single element, after a bare abbreviation and after
//     square brackets around the whole formula: Fe3+, S2-, Hedta3-, [Fe(CN)6]3-;
//   - a subscript elsewhere, with a single charge: HCO3-, NH4+, Fe(OH)2+;
//   - an error where both readings name ions that people write, because a
//     wrong guess would go unseen: SO42-, FeOH2+, FeCl2+, Ca(edta)2-, I3-. Write
//     SO4^2- or SO4(2-), Fe(OH)^2+, FeCl2^+, Ca(edta)^2-, I3^-.
//
// A full stop after a subscript is a decimal point if the digits before it are
// 0 or nothing follows the number (Fe0.95O, FeO1.5), a hydrate dot before a
// number of H2O, and otherwise an error. The electron is e-.
//
// Elements without a standard atomic weight are refused, so that every formula
// has a molar mass. An error is an [InputError] that tells the place.
func (n Notation) ParseFormula(s string) (Formula, error) {
	if len(s) > maxFormulaLength {
		return Formula{}, badFormula(s, maxFormulaLength, "longer than %d bytes", maxFormulaLength)
	}
	p := parsers.Get().(*formulaParser)
	defer parsers.Put(p)
	p.notation, p.input = n, s
	return p.parse()
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

// A fragment is what a subscript can follow: an element, an abbreviation (alone or
// after an element), a bracket.
type fragment struct {
	open    byte // opening bracket, or 0
	element int  // atomic number, or 0
	ligand  bool // an abbreviation, or a bracket that holds one
	mark    int  // index of its first atom in formulaParser.atoms
	count   string
}

type formulaParser struct {
	notation     Notation
	definitions  string // of the abbreviations met
	input        string
	folded       []byte
	at           []int  // where each byte of folded stands in input
	body         []byte // folded, less the charge
	pos          int
	atoms        []atom
	before, last fragment // of the part being read, outside brackets
	text         []byte
	room         []atom // of the formulas to come
}

// errorAt makes an error at a byte of folded.
func (p *formulaParser) errorAt(i int, format string, args ...any) error {
	off := len(p.input)
	if i < len(p.at) {
		off = p.at[i]
	}
	return badFormula(p.input, off, format, args...)
}

// errorHere makes an error at the byte now looked at.
func (p *formulaParser) errorHere(format string, args ...any) error {
	return p.errorAt(p.pos, format, args...)
}

// peek returns the byte now looked at; past the end 0.
func (p *formulaParser) peek() byte {
	if p.pos < len(p.body) {
		return p.body[p.pos]
	}
	return 0
}

func (p *formulaParser) parse() (Formula, error) {
	if p.fold(); len(p.folded) == 0 {
		return Formula{}, badFormula(p.input, 0, "empty: expected a formula such as H2O")
	}
	end, err := p.splitCharge()
	if err != nil {
		return Formula{}, err
	}
	if string(p.folded[:end.body]) == "e" {
		if end.charge != -1 || end.digits != "" {
			return Formula{}, p.errorAt(0, "the electron is written e-")
		}
		return newFormula(nil, -1, "e-", &p.room), nil
	}

	// The digits before a bare sign are read last, when what they follow is known.
	if err := p.parseBody(p.folded[:end.body]); err != nil {
		return Formula{}, err
	}
	if digits := end.digits; digits != "" {
		charge, why := p.bareDigits(digits, end.charge)
		switch {
		case why != "":
			body, sign, n := string(p.text), chargeText(end.charge), len(digits)
			return Formula{}, p.errorAt(end.mark, "%q %s: write %s^%s%s or %s%s^%s",
				digits, why, body+digits[:n-1], digits[n-1:], sign, body, digits, sign)
		case charge:
			end.charge *= int(digits[0] - '0')
		default:
			if err := p.parseBody(p.folded[:end.body+len(digits)]); err != nil {
				return Formula{}, err
			}
		}
	}

	if end.charge == 0 && end.mark > 0 {
		return Formula{}, p.errorAt(end.mark, "a charge of 0 is not written")
	}
	f := newFormula(p.atoms, end.charge, "", &p.room)
	for _, a := range f.atoms {
		if a.n > maxFormulaCount {
			return Formula{}, p.errorAt(0, "more than %g atoms of %s", float64(maxFormulaCount), elements[a.z-1].name)
		}
	}
	if f.Electrons() < 0 {
		return Formula{}, p.errorAt(end.mark, "a charge of %s needs more electrons than %s has", chargeText(f.charge), string(p.text))
	}
	p.writeCharge(f.charge)
	f.text, f.definitions = p.input, p.definitions // the same text, as a rule
	if f.text != string(p.text) {
		f.text = string(p.text)
	}
	return f, nil
}

// parseBody reads everything but the charge.
func (p *formulaParser) parseBody(body []byte) error {
	p.body, p.pos, p.atoms, p.definitions, p.text = body, 0, p.atoms[:0], "", p.text[:0]
	for {
		p.before, p.last = fragment{}, fragment{}
		mark, factor := len(p.atoms), 1.0
		if isDigit(p.peek()) {
			_, end := p.numberEnd(p.pos)
			n, text, err := p.number(end)
			if err != nil {
				return err
			}
			factor = n
			p.text = append(p.text, text...)
		}
		if _, err := p.group(0); err != nil {
			return err
		}
		for i := mark; i < len(p.atoms); i++ {
			p.atoms[i].n *= factor
		}
		if p.pos == len(p.body) {
			if mark == 0 && isDigit(body[0]) {
				return p.errorAt(0, "a formula does not begin with a number; a coefficient belongs to a reaction")
			}
			return nil
		}
		p.pos++ // the dot
		p.text = append(p.text, "·"...)
	}
}

// group reads fragments up to the end, a dot outside brackets or a closing
// bracket, which it leaves. It reports whether there was an abbreviation.
func (p *formulaParser) group(depth int) (ligands bool, err error) {
	n := 0
	for ; p.pos < len(p.body); n++ {
		c := p.peek()
		if closes(c) && depth > 0 || (c == '*' || c == '.') && depth == 0 && n > 0 {
			break
		}
		last, err := p.fragment(depth)
		if err != nil {
			return false, err
		}
		if isDigit(p.peek()) {
			if last.open == 0 && last.ligand {
				return false, p.errorHere("a subscript on an abbreviation needs brackets, as in (edta)2")
			}
			count, text, err := p.subscript(depth)
			if err != nil {
				return false, err
			}
			for i := last.mark; i < len(p.atoms); i++ {
				p.atoms[i].n *= count
			}
			last.count = text
			p.text = append(p.text, text...)
		}
		ligands = ligands || last.ligand
		if depth == 0 {
			p.before, p.last = p.last, last
		}
	}
	if n == 0 {
		return false, p.errorHere("expected an element, an abbreviation or a bracket")
	}
	return ligands, nil
}

func closes(c byte) bool { return c == ')' || c == ']' || c == '}' }

// fragment reads a bracket, an element or an abbreviation.
func (p *formulaParser) fragment(depth int) (fragment, error) {
	switch c := p.peek(); {
	case isUpper(c) || isLower(c):
		return p.letters()
	case c == '(' || c == '[' || c == '{':
		return p.bracket(depth)
	case isSign(c) || c == '^':
		return fragment{}, p.errorHere("the charge is written once and last, digits before the sign, as in SO4^2- or SO4(2-)")
	case isDigit(c):
		return fragment{}, p.errorHere("a number here follows nothing that it could count")
	case closes(c):
		return fragment{}, p.errorHere("%q closes nothing", c)
	case c == '*' || c == '.':
		return fragment{}, p.errorHere("a dot stands between two formulas, outside brackets")
	}
	r, _ := utf8.DecodeRuneInString(p.input[p.at[p.pos]:])
	return fragment{}, p.errorHere("unexpected %q", r)
}

func (p *formulaParser) bracket(depth int) (fragment, error) {
	if depth >= maxFormulaDepth {
		return fragment{}, p.errorHere("brackets nested more than %d deep", maxFormulaDepth)
	}
	start, inside := p.pos, len(p.text)+1
	u := fragment{open: p.peek(), mark: len(p.atoms)}
	p.pos++
	p.text = append(p.text, u.open)
	var err error
	if u.ligand, err = p.group(depth + 1); err != nil {
		return fragment{}, err
	}
	closing := map[byte]byte{'(': ')', '[': ']', '{': '}'}[u.open]
	if p.pos == len(p.body) {
		return fragment{}, p.errorAt(start, "%q is not closed", u.open)
	}
	if p.peek() != closing {
		return fragment{}, p.errorHere("expected %q to match %q at byte %d", closing, u.open, p.at[start])
	}
	if text := string(p.text[inside:]); u.open == '(' && strings.Trim(text, "IV") == "" {
		return fragment{}, p.errorAt(start, "(%s) would be an oxidation number: write the charge instead, as in Fe3+", text)
	}
	p.pos++
	p.text = append(p.text, closing)
	return u, nil
}

// letters reads an element, an abbreviation, or the one followed by the other.
func (p *formulaParser) letters() (fragment, error) {
	end := p.pos + 1
	for end < len(p.body) && isLower(p.body[end]) {
		end++
	}
	word := p.input[p.at[p.pos]:][:end-p.pos] // these letters are of one byte
	// An upper-case letter is an element on its own or with the next letter; the
	// rest must be an abbreviation. Trying one letter first lets the longest
	// abbreviation win.
	n, most := 0, 0
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
		if n > 0 {
			if elements[i].weight == 0 {
				return fragment{}, p.errorHere("%s (%s) has no standard atomic weight, so no molar mass", word[:n], elements[i].name)
			}
			p.atoms = append(p.atoms, atom{i + 1, 1})
		}
		if rest == "" {
			last.element = i + 1
		} else {
			last.mark = len(p.atoms)
			p.atoms = append(p.atoms, group.atoms...)
			p.define(group.definition)
		}
		p.pos = end
		p.text = append(p.text, word...)
		return last, nil
	}
	_, isPhase := parsePhase(word)
	switch {
	case isUpper(word[0]):
		return fragment{}, p.errorHere("%q is neither an element nor an element followed by a known abbreviation", word)
	case isPhase:
		return fragment{}, p.errorHere("(%s) is a phase, which a species has and a formula has not", word)
	}
	return fragment{}, p.errorHere("unknown abbreviation %q; elements start with a capital letter", word)
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
func (p *formulaParser) subscript(depth int) (float64, string, error) {
	whole, end := p.numberEnd(p.pos)
	switch {
	case end == whole, depth > 0, whole == p.pos+1 && p.peek() == '0', end == len(p.body), p.body[end] == '*':
		return p.number(end)
	case waterAfter.Match(p.body[whole+1:]):
		return p.number(whole)
	}
	return 0, "", p.errorAt(whole, "the full stop could be a decimal point or the dot of an addition compound: write · for the dot, or put brackets around a decimal count, as in (Fe2.5)O4")
}

// waterAfter is a hydrate's water, after which the formula ends or another dot comes.
var waterAfter = regexp.MustCompile(`^[0-9]+(\.[0-9]+)?H2O([*.]|$)`)

// numberEnd returns the places after the whole number that starts at i and after its
// decimals, the same where there are none.
func (p *formulaParser) numberEnd(i int) (whole, end int) {
	for whole = i; whole < len(p.body) && isDigit(p.body[whole]); {
		whole++
	}
	end = whole
	if whole < len(p.body) && p.body[whole] == '.' {
		for end++; end < len(p.body) && isDigit(p.body[end]); {
			end++
		}
		if end == whole+1 {
			end = whole
		}
	}
	return whole, end
}

// number reads the number that ends before end. It returns its value and its text,
// which is empty for one.
func (p *formulaParser) number(end int) (float64, string, error) {
	text := string(p.body[p.pos:end])
	whole, frac, _ := strings.Cut(text, ".")
	switch {
	case len(whole) > maxFormulaDigits || len(frac) > maxFormulaDigits:
		return 0, "", p.errorHere("more than %d digits", maxFormulaDigits)
	case len(whole) > 1 && whole[0] == '0':
		return 0, "", p.errorHere("a count does not start with 0")
	}
	n, err := strconv.ParseFloat(text, 64)
	if err != nil || n == 0 {
		return 0, "", p.errorHere("a count of zero")
	}
	p.pos = end
	return n, countText(n), nil
}
