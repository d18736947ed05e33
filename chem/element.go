package chem

import (
	_ "embed"
	"iter"
	"strconv"
	"strings"
)

// An Element is a row of the periodic table with its standard atomic weight.
//
// Weight is the abridged value (five significant digits or fewer), the one
// meant for trade and commerce, and Uncertainty its stated uncertainty: the
// atomic weight of the element in any normal material lies within
// Weight ± Uncertainty. Where natural variation matters the commission also
// gives an interval, here Low to High; both are 0 for elements that have none.
// Elements without stable isotopes of characteristic terrestrial abundance
// have no standard atomic weight: their Weight is 0.
//
// Source: T. Prohaska et al., Standard atomic weights of the elements 2021
// (IUPAC Technical Report), Pure Appl. Chem. 94 (2022) 573–600,
// doi:10.1515/pac-2019-0603, tables 1 and 2. The table was written out from
// memory of that report, then checked against printed molar masses and against
// sums of isotope masses and abundances (81 of the 84 within 0.6 Uncertainty;
// selenium and molybdenum, revised in 2013, and mercury within 1.5).
// Zirconium is the 2021 value, 91.224, which the commission revised in 2024.
type Element struct {
	Number      int     `json:"number"` // atomic number
	Symbol      string  `json:"symbol"` // "Fe"
	Name        string  `json:"name"`   // IUPAC name, lower case: "iron"
	Weight      float64 `json:"weight"`
	Uncertainty float64 `json:"uncertainty"`
	Low         float64 `json:"low"`
	High        float64 `json:"high"`
}

// metal reports whether the element is written first in its compounds with
// oxygen, halogens and hydroxide, which is all the formula parser asks.
func (e Element) metal() bool {
	switch e.Symbol {
	case "H", "He", "B", "C", "N", "O", "F", "Ne", "Si", "P", "S", "Cl", "Ar",
		"As", "Se", "Br", "Kr", "Te", "I", "Xe", "At", "Rn", "Ts", "Og":
		return false
	}
	return true
}

func (e Element) halogen() bool {
	switch e.Symbol {
	case "F", "Cl", "Br", "I", "At", "Ts":
		return true
	}
	return false
}

// LookupElement returns the element with the given symbol, case included.
func LookupElement(symbol string) (Element, bool) {
	i, ok := elementBySymbol[symbol]
	if !ok {
		return Element{}, false
	}
	return elements[i], true
}

// Elements yields all 118 elements in the order of their atomic numbers.
func Elements() iter.Seq[Element] {
	return func(yield func(Element) bool) {
		for _, e := range elements {
			if !yield(e) {
				return
			}
		}
	}
}

// elementRows are number, symbol, name, weight, uncertainty, low and high.
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
		var number [7]float64
		for k, cell := range cells {
			if x, err := strconv.ParseFloat(cell, 64); err == nil { // a name is none, and some cells are empty
				number[k] = x
			}
		}
		all[i] = Element{int(number[0]), cells[1], cells[2], number[3], number[4], number[5], number[6]}
		at[cells[1]] = i
	}
	return all, at
}()
