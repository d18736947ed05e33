package chem

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
)

// A Phase is the state of matter a species is in. The zero value is Aqueous.
type Phase uint8

// Phases, with the symbols of IUPAC's Green Book (3rd ed., section 2.10.1).
const (
	Aqueous Phase = iota // (aq): dissolved in water
	Solid                // (s)
	Liquid               // (l): a pure liquid
	Gas                  // (g)
)

var phaseSymbols = [...]string{"aq", "s", "l", "g"}

// String returns the symbol of the phase without brackets: "aq", "s", "l", "g".
func (p Phase) String() string {
	if int(p) < len(phaseSymbols) {
		return phaseSymbols[p]
	}
	return fmt.Sprintf("Phase(%d)", uint8(p))
}

// A Species is a formula in a phase: Fe3+ in solution, CO2(g), FeOOH(s, goethite).
type Species struct {
	Formula  Formula
	Phase    Phase  // the zero value is Aqueous
	Modifier string // tells apart forms of equal formula and phase, such as minerals
}

var modifiers = regexp.MustCompile(`^[\p{L}\p{Nd} \-_'/:]{1,64}$`)

// ParseSpecies reads a formula (see ParseFormula) and, after it, the phase in round
// brackets: (aq), (s), (l) or (g), with a modifier of letters, digits, spaces and the signs
// - _ ' / : after a comma if need be: FeOOH(s, goethite). Without brackets the phase is
// aqueous. An error is an [InputError] that tells the place.
func (n Notation) ParseSpecies(s string) (Species, error) {
	text := strings.TrimRight(s, " \t\r\n")
	var sp Species
	if open := strings.LastIndexByte(text, '('); open >= 0 && strings.HasSuffix(text, ")") {
		symbol, modifier, comma := strings.Cut(text[open+1:len(text)-1], ",")
		phase, ok := parsePhase(strings.TrimSpace(symbol))
		modifier = strings.TrimSpace(modifier)
		switch {
		case comma && !ok:
			return Species{}, badFormula(s, open+1, "unknown phase %s: expected aq, s, l or g", Echo(strings.TrimSpace(symbol)))
		case comma && !modifiers.MatchString(modifier):
			return Species{}, badFormula(s, open+1+len(symbol)+1, "a modifier has 1 to 64 letters, digits, spaces and signs - _ ' / :")
		case ok:
			sp.Phase, sp.Modifier, text = phase, modifier, text[:open]
		}
	}
	var err error
	if sp.Formula, err = n.ParseFormula(text); err != nil {
		return Species{}, err
	}
	return sp, nil
}

// ParseSpecies is [Notation.ParseSpecies] without abbreviations.
func ParseSpecies(s string) (Species, error) { return Notation{}.ParseSpecies(s) }

func parsePhase(symbol string) (Phase, bool) {
	i := slices.Index(phaseSymbols[:], symbol)
	return Phase(max(i, 0)), i >= 0
}

// String returns the text that ParseSpecies reads back, without a phase that is aqueous.
func (s Species) String() string {
	switch {
	case s.Modifier != "":
		return s.Formula.text + "(" + s.Phase.String() + ", " + s.Modifier + ")"
	case s.Phase != Aqueous:
		return s.Formula.text + "(" + s.Phase.String() + ")"
	}
	return s.Formula.text
}

// Equal reports whether s and t have equal formulas, the same phase and modifier.
func (s Species) Equal(t Species) bool {
	return s.Phase == t.Phase && s.Modifier == t.Modifier && s.Formula.Equal(t.Formula)
}

// MarshalText writes a species as [Formula.MarshalText] does a formula.
func (s Species) MarshalText() ([]byte, error) { return s.Formula.withDefinitions(s.String()), nil }

// UnmarshalText reads what MarshalText writes. On an error s is unchanged.
func (s *Species) UnmarshalText(text []byte) error { return readText(s, text, Notation.ParseSpecies) }
