package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io/fs"
	"math"
	"slices"
	"strconv"
	"testing/fstest"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// shift moves a fitted constant: the rows that it was fitted to are all moved by
// what the change makes of them, and the tables loaded anew. The fit follows
// such a move, and what rests on the constant goes along, the corrections for Na⁺
// and K⁺ pairs included.
type shift struct {
	log10K   float64
	enthalpy float64 // kJ/mol
}

// of is what the shift makes of log10 K at a temperature.
func (s shift) of(celsius float64) float64 {
	c := chem.Constant{LogK: s.log10K, DeltaH: 1000 * s.enthalpy}
	return c.Log10K(chem.Celsius(celsius), 0)
}

// overlay is a directory with one file exchanged.
type overlay struct {
	fs.FS
	name string
	file fstest.MapFS
}

func (o overlay) Open(name string) (fs.File, error) {
	if name == o.name {
		return o.file.Open(name)
	}
	return o.FS.Open(name)
}

// coincides lets an enthalpy come to be the log K, as a shift may bring about.
const coincides = "; coincides: shifted"

// shifted loads the tables from dir with one reaction shifted.
func shifted(dir fs.FS, e tables.Equilibrium, by shift) (*tables.Tables, error) {
	name := "constants/" + e.Table + ".csv"
	text, err := fs.ReadFile(dir, name)
	if err != nil {
		return nil, err
	}
	rows, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	at := func(column string) int { return slices.Index(rows[0], column) }
	reaction, quantity, celsius, strength, value, use, note := at("reaction"), at("quantity"), at("temperature_c"), at("ionic_strength_mol_l"), at("value"), at("use"), at("note")
	var last []string // of the rows that were moved
	known := false    // the enthalpy
	for i, row := range rows {
		if row[reaction] != e.Reaction.String() {
			continue
		}
		if row[quantity] == "enthalpy" {
			row[note] += coincides
		}
		if row[use] != "fit" {
			continue
		}
		move := by.enthalpy
		if row[quantity] == "enthalpy" {
			known = true
		} else {
			t, err := strconv.ParseFloat(row[celsius], 64)
			if err != nil {
				return nil, fmt.Errorf("%s, line %d: %w", name, i+1, err)
			}
			move = by.of(t)
		}
		x, err := strconv.ParseFloat(row[value], 64)
		if err != nil {
			return nil, fmt.Errorf("%s, line %d: %w", name, i+1, err)
		}
		row[value] = strconv.FormatFloat(x+move, 'g', -1, 64)
		last = row
	}
	if last == nil {
		return nil, fmt.Errorf("%s: no row that %s is fitted to", name, e.Reaction)
	}
	if by.enthalpy != 0 && !known && !e.Determined[1] {
		// What stands for an unknown enthalpy has no row to move.
		row := slices.Clone(last)
		row[quantity], row[celsius], row[strength], row[at("uncertainty")] = "enthalpy", "25", "0", "0.5"
		row[value], row[note] = strconv.FormatFloat(e.DeltaH/1000+by.enthalpy, 'g', -1, 64), coincides
		rows = append(rows, row)
	}
	var out bytes.Buffer
	if err := csv.NewWriter(&out).WriteAll(rows); err != nil {
		return nil, err
	}
	return new(tables.Tables).With(overlay{dir, name, fstest.MapFS{name: {Data: out.Bytes()}}})
}

// moved are the reactions whose constants differ between two loadings.
func moved(a, b *tables.Tables) map[int]bool {
	out := map[int]bool{}
	after := slices.Collect(b.Equilibria())
	const still = 1e-9 // log units; rounding is below
	for i, e := range slices.Collect(a.Equilibria()) {
		warm := chem.Celsius(50)
		if math.Abs(e.Log10K(chem.ReferenceTemperature, 0)-after[i].Log10K(chem.ReferenceTemperature, 0)) > still ||
			math.Abs(e.Log10K(warm, 0)-after[i].Log10K(warm, 0)) > still {
			out[i] = true
		}
	}
	return out
}
