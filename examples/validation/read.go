package main

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"slices"
	"strconv"
	"strings"
)

// topics are the files of checks, in the order of the report.
var topics = []string{
	"ph-standards", "buffer-tables", "reagent-solution-ph",
	"water", "activity", "acid-constants", "carbonate-system", "iron-hydrolysis", "core-constants", "chelants",
	"edta-alpha", "edta-conditional", "edta-titrations",
	"acid-base-titrations",
	"hardness", "reagent-properties", "rust-and-iron", "dissolution-rates", "open-tub", "shop-measures", "common-practice",
}

var header = []string{"id", "quantity", "conditions", "value", "unit", "tolerance", "expect", "basis", "trust", "source", "note"}

// errRow is wrapped by every complaint about a row of a file of checks.
var errRow = errors.New("bad row")

// rowError tells which cell is wrong and what was expected there.
type rowError struct {
	topic         string
	line          int
	column, value string
	want          string
}

func (e *rowError) Error() string {
	return fmt.Sprintf("%s.csv, line %d: %s is %q, expected %s", e.topic, e.line, e.column, e.value, e.want)
}

func (e *rowError) Unwrap() error { return errRow }

func (c check) refuse(column, value, want string) error {
	return &rowError{c.topic, c.line, column, value, want}
}

// readAll reads the topics from a directory and verifies that ids are unique.
func readAll(dir fs.FS, names []string) ([]check, error) {
	var all []check
	seen := map[string]bool{}
	for _, name := range names {
		checks, err := readTopic(dir, name)
		if err != nil {
			return nil, err
		}
		for _, c := range checks {
			if seen[c.id] {
				return nil, c.refuse("id", c.id, "an id that no other row has")
			}
			seen[c.id] = true
		}
		all = append(all, checks...)
	}
	return all, nil
}

func readTopic(dir fs.FS, name string) ([]check, error) {
	f, err := dir.Open(name + ".csv")
	if err != nil {
		return nil, err
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.FieldsPerRecord = len(header)
	first, err := r.Read()
	if err != nil {
		return nil, fmt.Errorf("%s.csv: %w", name, err)
	}
	if !slices.Equal(first, header) {
		return nil, &rowError{name, 1, "header", strings.Join(first, ","), strings.Join(header, ",")}
	}
	rows, err := r.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%s.csv: %w", name, err)
	}
	checks := make([]check, len(rows))
	for i, row := range rows {
		if checks[i], err = parseRow(name, i+2, row); err != nil {
			return nil, err
		}
	}
	return checks, nil
}

func parseRow(topic string, line int, row []string) (check, error) {
	c := check{
		topic: topic, line: line,
		id: row[0], quantity: row[1], unit: row[4], expect: expectation(row[6]),
		basis: basis(row[7]), trust: trust(row[8]), source: row[9], note: row[10],
	}
	var err error
	if c.conditions, err = parseConditions(row[2]); err != nil {
		return c, c.refuse("conditions", row[2], err.Error())
	}
	if c.published, err = strconv.ParseFloat(row[3], 64); err != nil || math.IsInf(c.published, 0) || math.IsNaN(c.published) {
		return c, c.refuse("value", row[3], "a number")
	}
	if c.tolerance, err = strconv.ParseFloat(row[5], 64); err != nil || !(c.tolerance >= 0) || math.IsInf(c.tolerance, 0) {
		return c, c.refuse("tolerance", row[5], "a number from 0")
	}
	for _, column := range []int{0, 4, 9} {
		if row[column] == "" {
			return c, c.refuse(header[column], "", "some text")
		}
	}
	switch c.expect {
	case agree, inRange:
	case disagree:
		if c.note == "" {
			return c, c.refuse("note", c.note, "the reason")
		}
	default:
		return c, c.refuse("expect", row[6], "agree, range or disagree")
	}
	if !slices.Contains(bases, c.basis) {
		return c, c.refuse("basis", row[7], "independent, evaluated, tables, solver or definition")
	}
	if !slices.Contains(trusts, c.trust) {
		return c, c.refuse("trust", row[8], "printed, recomputed, compiled, from memory, arithmetic or practice")
	}
	return c, nil
}
