package chem

import (
	"iter"
	"math"
	"slices"
	"strconv"
	"strings"
)

// A Formula is a chemical formula with its charge, immutable and made by
// [Notation.ParseFormula]; the zero value has no atoms and no charge.
type Formula struct {
	text        string
	atoms       []atom // Hill order, each element once, counts positive
	charge      int
	definitions string // of the abbreviations in text, sorted, separated by "; "
}

// An atom is a number of atoms of one element.
type atom struct {
	z int // atomic number
	n float64
}

// newFormula sums the atoms of each element in Hill order, in some of the room there is.
func newFormula(atoms []atom, charge int, text string, room *[]atom) Formula {
	var sum [len(elements) + 1]float64
	carbon := false
	for _, a := range atoms {
		sum[a.z] += a.n
		carbon = carbon || a.z == 6
	}
	const more = 64 // atoms of room: some dozen formulas
	if most := min(len(atoms), len(elements)); cap(*room)-len(*room) < most {
		*room = make([]atom, 0, most+more)
	}
	mark := len(*room)
	for z, n := range sum {
		if n > 0 {
			*room = append(*room, atom{z, n})
		}
	}
	f := Formula{text: text, charge: charge, atoms: slices.Clip((*room)[mark:])}
	rank := func(a atom) string {
		switch {
		case carbon && a.z == 6:
			return ""
		case carbon && a.z == 1:
			return " "
		}
		return elements[a.z-1].symbol
	}
	slices.SortFunc(f.atoms, func(a, b atom) int { return strings.Compare(rank(a), rank(b)) })
	return f
}

// String returns the formula as it was written, normalised: · before a hydrate, plain
// digits, and the charge as "3+" or "-" where that reads only one way ("Fe3+", "HCO3-"),
// else after a caret ("SO4^2-"). ParseFormula reads it back to an equal formula.
func (f Formula) String() string { return f.text }

// Charge returns the charge in units of the elementary charge.
func (f Formula) Charge() int { return f.charge }

// Count returns the number of atoms of the element with a symbol, 0 if there are none.
func (f Formula) Count(symbol string) float64 {
	for _, a := range f.atoms {
		if elements[a.z-1].symbol == symbol {
			return a.n
		}
	}
	return 0
}

// Composition yields each element's symbol with its number of atoms in Hill order: carbon,
// hydrogen, the others by symbol; without carbon all by symbol (E. A. Hill, J. Am. Chem.
// Soc. 22 (1900) 478).
func (f Formula) Composition() iter.Seq2[string, float64] {
	return func(yield func(string, float64) bool) {
		for _, a := range f.atoms {
			if !yield(elements[a.z-1].symbol, a.n) {
				return
			}
		}
	}
}

// Hill returns the composition without the charge: "C10H12N2O8" for edta4-.
func (f Formula) Hill() string {
	var b strings.Builder
	for symbol, n := range f.Composition() {
		b.WriteString(symbol)
		b.WriteString(countText(n))
	}
	return b.String()
}

// MolarMass returns the molar mass in g/mol, from the abridged standard atomic weights
// 2021, without that of the electrons of a charge (0.0005 g/mol each), as is usual.
func (f Formula) MolarMass() float64 {
	sum := 0.0
	for _, a := range f.atoms {
		sum += a.n * elements[a.z-1].weight
	}
	return sum
}

// Electrons returns the number of electrons, those of the charge included.
func (f Formula) Electrons() float64 {
	sum := -float64(f.charge)
	for _, a := range f.atoms {
		sum += a.n * float64(a.z)
	}
	return sum
}

// Equal reports whether f and g have the same composition, to 1e-9 of each count, and
// charge, however they are written. Two that name different ligands differ, even if the
// ligands are isomers.
func (f Formula) Equal(g Formula) bool {
	if f.definitions != g.definitions && f.definitions != "" && g.definitions != "" {
		return false
	}
	return f.charge == g.charge && slices.EqualFunc(f.atoms, g.atoms, func(a, b atom) bool {
		return a.z == b.z && math.Abs(a.n-b.n) <= alike*max(a.n, b.n)
	})
}

// alike is the difference of counts that rounding makes where decimals are multiplied out.
const alike = 1e-9

// MarshalText returns the text and, after semicolons, the definitions of its
// abbreviations: "Na4(edta)·4H2O; edta4- = C10H12N2O8^4-".
func (f Formula) MarshalText() ([]byte, error) { return f.withDefinitions(f.text), nil }

// UnmarshalText reads what MarshalText writes. On an error f is unchanged.
func (f *Formula) UnmarshalText(text []byte) error { return readText(f, text, Notation.ParseFormula) }

// countText writes a subscript or coefficient: nothing for one.
func countText(n float64) string {
	if n == 1 {
		return ""
	}
	return strconv.FormatFloat(n, 'f', -1, 64)
}

// chargeText writes a charge in ASCII: "3+", "-", nothing for zero.
func chargeText(z int) string { return string(appendCharge(nil, z)) }

func appendCharge(text []byte, z int) []byte {
	sign := byte('+')
	switch {
	case z == 0:
		return text
	case z < 0:
		sign, z = '-', -z
	}
	if z > 1 {
		text = strconv.AppendInt(text, int64(z), 10)
	}
	return append(text, sign)
}
