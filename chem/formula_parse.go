package chem

import (
	"fmt"
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

// A fragment is what a subscript can follow: an element, an abbreviation, a bracket.
type fragment struct {
	open    rune // opening bracket, or 0
	element int  // atomic number, or 0
	ligand  bool // an abbreviation, or a bracket that holds one
	mark    int  // index of its first atom in formulaParser.atoms
	count   string
}

type formulaParser struct {
	notation    Notation
	definitions string // of the abbreviations met
	input       string
	glyphs      []glyph
	body        []glyph
	pos         int
	atoms       []atom
	top         []fragment // of the part being read, outside brackets
	parts       int
	text        []byte
}

// errorAt makes an error at a byte offset.
func (p *formulaParser) errorAt(off int, format string, args ...any) error {
	return badFormula(p.input, off, format, args...)
}

// errorHere makes an error at the glyph now looked at.
func (p *formulaParser) errorHere(format string, args ...any) error {
	return p.errorAt(p.peek().off, format, args...)
}

// peek returns the glyph now looked at; past the end one that is nothing.
func (p *formulaParser) peek() glyph {
	if p.pos < len(p.body) {
		return p.body[p.pos]
	}
	return glyph{off: len(p.input)}
}

func (p *formulaParser) parse() (Formula, error) {
	glyphs, err := p.scan()
	if err != nil {
		return Formula{}, err
	}
	end, err := p.splitCharge(glyphs)
	if err != nil {
		return Formula{}, err
	}
	if len(end.body) == 1 && end.body[0].is('e') {
		if end.charge != -1 || len(end.digits) > 0 {
			return Formula{}, p.errorAt(end.body[0].off, "the electron is written e-")
		}
		return newFormula(nil, -1, "e-"), nil
	}

	// The digits before a bare sign are read last, when what they follow is known.
	if err := p.parseBody(end.body); err != nil {
		return Formula{}, err
	}
	if n := len(end.digits); n > 0 {
		digits := written(end.digits)
		charge, why := p.bareDigits(digits, end.charge)
		switch {
		case why != "":
			body, sign := string(p.text), chargeText(end.charge)
			return Formula{}, p.errorAt(end.digits[0].off, "%q %s: write %s^%s%s or %s%s^%s",
				digits, why, body+digits[:n-1], digits[n-1:], sign, body, digits, sign)
		case charge:
			z, _ := strconv.Atoi(digits)
			end.charge *= z
		default:
			if err := p.parseBody(glyphs[:len(end.body)+n]); err != nil {
				return Formula{}, err
			}
		}
	}
	if !end.written {
		end.charge = 0
	} else if end.charge == 0 {
		return Formula{}, p.errorAt(end.off, "a charge of 0 is not written")
	}

	f := newFormula(p.atoms, end.charge, "")
	protons := 0.0
	for _, a := range f.atoms {
		if a.n > maxFormulaCount {
			return Formula{}, p.errorAt(0, "more than %g atoms of %s", float64(maxFormulaCount), elements[a.z-1].Name)
		}
		protons += a.n * float64(a.z)
	}
	if float64(f.charge) > protons {
		return Formula{}, p.errorAt(end.off, "a charge of %s needs more electrons than %s has", chargeText(f.charge), string(p.text))
	}
	p.text = append(p.text, p.chargeSuffix(f.charge)...)
	f.text, f.definitions = p.input, p.definitions // the same text, as a rule
	if f.text != string(p.text) {
		f.text = string(p.text)
	}
	return f, nil
}

// parseBody reads everything but the charge.
func (p *formulaParser) parseBody(body []glyph) error {
	p.body, p.pos, p.atoms, p.parts, p.definitions = body, 0, p.atoms[:0], 0, ""
	p.text = p.text[:0]
	leading := false
	for {
		p.top = p.top[:0]
		p.parts++
		mark := len(p.atoms)
		factor := 1.0
		if p.peek().digit() {
			leading = leading || p.parts == 1
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
			break
		}
		p.pos++ // the dot
		p.text = append(p.text, "·"...)
	}
	if leading && p.parts == 1 {
		return p.errorAt(body[0].off, "a formula does not begin with a number; a coefficient belongs to a reaction")
	}
	return nil
}

// group reads fragments up to the end, a dot outside brackets or a closing
// bracket, which it leaves. It reports whether there was an abbreviation.
func (p *formulaParser) group(depth int) (bool, error) {
	ligands, n := false, 0
	for ; p.pos < len(p.body); n++ {
		g := p.peek()
		if strings.ContainsRune(")]}", g.r) && depth > 0 ||
			depth == 0 && (g.is('·') || g.is('.')) && n > 0 {
			break
		}
		element, last, err := p.fragment(depth)
		if err != nil {
			return false, err
		}
		if p.peek().digit() {
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
			if element.element > 0 {
				p.top = append(p.top, element)
			}
			p.top = append(p.top, last)
		}
	}
	if n == 0 {
		return false, p.errorHere("expected an element, an abbreviation or a bracket")
	}
	return ligands, nil
}

// fragment reads a bracket, an element or an abbreviation; an element with an
// abbreviation after it are two fragments, of which the element comes first.
func (p *formulaParser) fragment(depth int) (element, last fragment, err error) {
	g := p.peek()
	switch {
	case g.level == above || g.sign() || g.r == '^':
		err = p.errorHere("the charge is written once and last, digits before the sign, as in SO4^2- or SO4(2-)")
	case g.digit():
		err = p.errorHere("a number here follows nothing that it could count")
	case strings.ContainsRune("([{", g.r):
		last, err = p.bracket(depth)
	case strings.ContainsRune(")]}", g.r):
		err = p.errorHere("%q closes nothing", g.r)
	case g.upper() || g.lower():
		return p.letters()
	case g.r == '·' || g.r == '.':
		err = p.errorHere("a dot stands between two formulas, outside brackets")
	default:
		err = p.errorHere("unexpected %q", g.r)
	}
	return element, last, err
}

func (p *formulaParser) bracket(depth int) (fragment, error) {
	open := p.peek()
	if depth >= maxFormulaDepth {
		return fragment{}, p.errorHere("brackets nested more than %d deep", maxFormulaDepth)
	}
	u := fragment{open: open.r, mark: len(p.atoms)}
	p.pos++
	p.text = utf8.AppendRune(p.text, open.r)
	inside := len(p.text)
	ligand, err := p.group(depth + 1)
	if err != nil {
		return fragment{}, err
	}
	u.ligand = ligand
	closing := map[rune]rune{'(': ')', '[': ']', '{': '}'}[open.r]
	if p.pos == len(p.body) {
		return fragment{}, p.errorAt(open.off, "%q is not closed", open.r)
	}
	if p.peek().r != closing {
		return fragment{}, p.errorHere("expected %q to match %q at byte %d", closing, open.r, open.off)
	}
	if text := string(p.text[inside:]); open.r == '(' && strings.Trim(text, "IV") == "" {
		return fragment{}, p.errorAt(open.off, "(%s) would be an oxidation number: write the charge instead, as in Fe3+", text)
	}
	p.pos++
	p.text = utf8.AppendRune(p.text, closing)
	return u, nil
}

// letters reads an element, an abbreviation, or the one followed by the other.
func (p *formulaParser) letters() (element, last fragment, err error) {
	start := p.peek()
	end := p.pos
	for end < len(p.body) && (end == p.pos && start.upper() || p.body[end].lower()) {
		end++
	}
	word := p.input[start.off : start.off+end-p.pos] // these letters are of one byte
	// An upper-case letter is an element on its own or with the next letter; the
	// rest must be an abbreviation. Trying one letter first lets the longest
	// abbreviation win.
	n, most := 0, 0
	if start.upper() {
		n, most = 1, min(2, len(word))
	}
	for ; n <= most; n++ {
		rest := word[n:]
		group, known := p.notation.ligands[rest]
		i, ok := elementBySymbol[word[:n]]
		if rest != "" && !known || n > 0 && !ok {
			continue
		}
		if n > 0 {
			if elements[i].Weight == 0 {
				return element, last, p.errorHere("%s (%s) has no standard atomic weight, so no molar mass", word[:n], elements[i].Name)
			}
			last = fragment{element: i + 1, mark: len(p.atoms)}
			p.atoms = append(p.atoms, atom{i + 1, 1})
		}
		if rest != "" {
			element, last = last, fragment{ligand: true, mark: len(p.atoms)}
			p.atoms = append(p.atoms, group.atoms...)
			p.define(group.definition)
		}
		p.pos = end
		p.text = append(p.text, word...)
		return element, last, nil
	}
	_, isPhase := parsePhase(word)
	switch {
	case start.upper():
		err = p.errorHere("%q is neither an element nor an element followed by a known abbreviation", word)
	case isPhase:
		err = p.errorHere("(%s) is a phase, which a species has and a formula has not", word)
	default:
		err = p.errorHere("unknown abbreviation %q; elements start with a capital letter", word)
	}
	return element, last, err
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

// subscript reads the count after a unit.
func (p *formulaParser) subscript(depth int) (float64, string, error) {
	whole, end := p.numberEnd(p.pos)
	if end == whole || p.body[whole-1].level == below && p.body[whole+1].level != below {
		return p.number(whole)
	}
	switch {
	case depth > 0, whole == p.pos+1 && p.peek().r == '0', end == len(p.body), p.body[end].is('·'):
		return p.number(end)
	case p.waterAfter(whole + 1):
		return p.number(whole)
	}
	return 0, "", p.errorAt(p.body[whole].off, "the full stop could be a decimal point or the dot of an addition compound: write · for the dot, or put brackets around a decimal count, as in (Fe2.5)O4")
}

// waterAfter reports whether the glyphs from i are a number and H2O, and then
// the end or another dot.
func (p *formulaParser) waterAfter(i int) bool {
	_, i = p.numberEnd(i)
	after := p.body[i:]
	return len(after) >= 3 && written(after[:3]) == "H2O" && (len(after) == 3 || after[3].is('·') || after[3].is('.'))
}

// numberEnd returns the places after the whole number that starts at i and after its
// decimals, the same where there are none.
func (p *formulaParser) numberEnd(i int) (whole, end int) {
	whole = i + p.digitRun(i)
	end = whole
	if whole < len(p.body) && p.body[whole].is('.') && p.digitRun(whole+1) > 0 {
		end = whole + 1 + p.digitRun(whole+1)
	}
	return whole, end
}

// digitRun counts the digits from i on, all on the same level.
func (p *formulaParser) digitRun(i int) int {
	n := 0
	for i+n < len(p.body) && p.body[i+n].digit() && p.body[i+n].level == p.body[i].level {
		n++
	}
	return n
}

// number reads the number that ends before end. It returns its value and its text,
// which is empty for one.
func (p *formulaParser) number(end int) (float64, string, error) {
	text := written(p.body[p.pos:end])
	whole, frac, _ := strings.Cut(text, ".")
	if len(whole) > maxFormulaDigits || len(frac) > maxFormulaDigits {
		return 0, "", p.errorHere("more than %d digits", maxFormulaDigits)
	}
	if len(whole) > 1 && whole[0] == '0' {
		return 0, "", p.errorHere("a count does not start with 0")
	}
	n, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return 0, "", p.errorHere("%q is not a number", text)
	}
	if n == 0 {
		return 0, "", p.errorHere("a count of zero")
	}
	p.pos = end
	return n, countText(n), nil
}
