package chem

import (
	_ "embed"
	"strconv"
	"strings"
)

// An element is a row of the periodic table with its standard atomic weight: the abridged
// value (five significant digits or fewer), meant for trade and commerce, or 0 where
// there is none for want of a characteristic terrestrial abundance.
//
// Source: T. Prohaska et al., Standard atomic weights of the elements 2021 (IUPAC Technical
// Report), Pure Appl. Chem. 94 (2022) 573–600, doi:10.1515/pac-2019-0603, tables 1 and 2, from
// memory, then checked against printed molar masses and sums of isotope masses and abundances (81
// of the 84 within 0.6 of the uncertainty; selenium and molybdenum, revised in 2013, and mercury
// within 1.5). Zirconium is the 2021 value, 91.224, which the commission revised in 2024.
type element struct {
	symbol string  // "Fe"
	name   string  // IUPAC name, lower case: "iron"
	weight float64 // g/mol
}

// metal reports whether the element is written before oxygen and halogens in a formula.
func (e element) metal() bool {
	return !strings.Contains(" H He B C N O F Ne Si P S Cl Ar As Se Br Kr Te I Xe At Rn Ts Og ", " "+e.symbol+" ")
}

func (e element) halogen() bool { return strings.Contains(" F Cl Br I At Ts ", " "+e.symbol+" ") }

// elementRows are number, symbol, name, weight, its uncertainty, and the ends that it varies between.
//
//go:embed elements.csv
var elementRows string

const elementCount = 118

// elements are in the order of their numbers; elementBySymbol tells their places.
var elements, elementBySymbol = func() (all [elementCount]element, at map[string]int) {
	at = make(map[string]int, elementCount)
	for i, line := range strings.Split(strings.TrimSpace(elementRows), "\n")[1:] {
		cells := strings.Split(line, ",")
		weight, _ := strconv.ParseFloat(cells[3], 64) // empty where there is none
		all[i] = element{cells[1], cells[2], weight}
		at[cells[1]] = i
	}
	return all, at
}()
