package chem

import (
	"fmt"
	"slices"
	"strings"
)

// A Notation reads formulas in which ligands are written by symbols, lower case as IUPAC
// has it (Nomenclature of Inorganic Chemistry, Recommendations 2005, IR-4.4.4), that stand
// for the fully deprotonated anion: Na4(edta), Hedta3-. The zero value knows the elements
// only. It is immutable and safe for concurrent use.
type Notation struct {
	ligands map[string]ligand // by symbol
}

type ligand struct {
	definition string // "edta4- = C10H12N2O8^4-"
	atoms      []atom
}

// maxDefinitions of a notation, or a text that carries its own: the trade has some dozens.
const maxDefinitions = 1000

// NewNotation returns the notation of definitions such as edta4- = C10H12N2O8^4-, each a
// symbol with its charge and the formula it stands for. A symbol has two lower-case letters
// or more, is none of a phase, and is defined once.
func NewNotation(definitions ...string) (Notation, error) {
	n := Notation{make(map[string]ligand, len(definitions))}
	refuse := func(text, want string, err error) (Notation, error) {
		return Notation{}, &InputError{Field: "abbreviation", Value: Echo(text), Want: want, Err: err}
	}
	if len(definitions) > maxDefinitions {
		return refuse(definitions[maxDefinitions], fmt.Sprintf("at most %d of them", maxDefinitions), nil)
	}
	for _, text := range definitions {
		left, right, _ := strings.Cut(text, "=")
		left = strings.TrimSpace(left)
		f, err := ParseFormula(right)
		if err != nil {
			return refuse(text, "a symbol and what it stands for, as in edta4- = C10H12N2O8^4-", err)
		}
		symbol := strings.TrimRight(left, "0123456789+-")
		_, isPhase := parsePhase(symbol)
		switch _, twice := n.ligands[symbol]; {
		case len(symbol) < 2 || strings.Trim(symbol, "abcdefghijklmnopqrstuvwxyz") != "" || isPhase:
			return refuse(text, "two lower-case letters or more that are no phase", nil)
		case left != symbol+chargeText(f.charge) || len(f.atoms) == 0:
			return refuse(text, "the same charge on both sides", nil)
		case twice:
			return refuse(text, "a symbol that is defined once", nil)
		}
		n.ligands[symbol] = ligand{left + " = " + f.text, f.atoms}
	}
	return n, nil
}

// MarshalText returns the definitions, sorted and separated by semicolons.
func (n Notation) MarshalText() ([]byte, error) {
	var all []string
	for _, l := range n.ligands {
		all = append(all, l.definition)
	}
	slices.Sort(all)
	return []byte(strings.Join(all, "; ")), nil
}

// UnmarshalText reads what MarshalText writes. On an error n is unchanged.
func (n *Notation) UnmarshalText(text []byte) error {
	var all []string
	if len(text) > 0 {
		all = strings.Split(string(text), ";")
	}
	m, err := NewNotation(all...)
	if err == nil {
		*n = m
	}
	return err
}

// readText sets *into to what withDefinitions wrote; no text is the zero value.
func readText[T any](into *T, text []byte, parse func(Notation, string) (T, error)) error {
	written, definitions, _ := strings.Cut(string(text), ";")
	var n Notation
	var x T
	err := n.UnmarshalText([]byte(definitions))
	if err == nil && len(text) > 0 {
		x, err = parse(n, written)
	}
	if err == nil {
		*into = x
	}
	return err
}

// withDefinitions is the text that readText reads.
func (f Formula) withDefinitions(text string) []byte {
	if f.definitions != "" {
		text += "; " + f.definitions
	}
	return []byte(text)
}
