package main

import (
	"errors"
	"slices"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
)

// conditions are what a published value holds for: key=value, separated by
// semicolons, each key once.
type conditions []condition

type condition struct{ key, value string }

func parseConditions(s string) (conditions, error) {
	var out conditions
	for part := range strings.SplitSeq(s, ";") {
		// The first "=" ends the key; a reaction as value has its own.
		key, value, ok := strings.Cut(part, "=")
		if !ok || key == "" || value == "" {
			return nil, errors.New("key=value, separated by semicolons")
		}
		if slices.ContainsFunc(out, func(c condition) bool { return c.key == key }) {
			return nil, errors.New("each key once, not " + key + " twice")
		}
		out = append(out, condition{key, value})
	}
	return out, nil
}

// input hands out conditions to a computation and remembers which were asked
// for, so that none is ignored in silence, and the first that was missing or
// unreadable.
type input struct {
	check check
	read  []bool
	rests map[int]bool // the fitted reactions that the answer rests on, see rests.go
	err   error
}

func (cs conditions) reader(c check) *input { return &input{check: c, read: make([]bool, len(cs))} }

// unread complains about a condition that nothing asked for.
func (in *input) unread() error {
	if i := slices.Index(in.read, false); i >= 0 {
		return in.check.refuse("condition", in.check.conditions[i].key, "one that "+in.check.quantity+" depends on")
	}
	return nil
}

func (in *input) refuse(key, value, want string) {
	if in.err == nil {
		in.err = in.check.refuse("condition "+key, value, want)
	}
}

func (in *input) lookup(key string) (string, bool) {
	for i, c := range in.check.conditions {
		if c.key == key {
			in.read[i] = true
			return c.value, true
		}
	}
	return "", false
}

func (in *input) has(key string) bool {
	_, ok := in.lookup(key)
	return ok
}

func (in *input) text(key string) string {
	v, ok := in.lookup(key)
	if !ok {
		in.refuse(key, "", "a value")
	}
	return v
}

func (in *input) number(key string) float64 {
	v := in.text(key)
	x, err := strconv.ParseFloat(v, 64)
	if err != nil {
		in.refuse(key, v, "a number")
	}
	return x
}

// numbers reads a|b|c.
func (in *input) numbers(key string) []float64 {
	var out []float64
	for part := range strings.SplitSeq(in.text(key), "|") {
		x, err := strconv.ParseFloat(part, 64)
		if err != nil {
			in.refuse(key, part, "numbers separated by |")
		}
		out = append(out, x)
	}
	return out
}

func (in *input) numberOr(key string, otherwise float64) float64 {
	if !in.has(key) {
		return otherwise
	}
	return in.number(key)
}

func (in *input) temperature() unit.Temperature { return chem.Celsius(in.number("T_C")) }

// solute is a condition such as KH2PO4=0.025 mol/kg.
type solute struct {
	name   string
	amount float64
	unit   string // mol/kg of water; mol/L or g/L of solution
}

// solutes takes all conditions whose value ends in a unit of concentration.
func (in *input) solutes() []solute {
	var out []solute
	for i, c := range in.check.conditions {
		number, per, ok := strings.Cut(c.value, " ")
		if !ok || !slices.Contains([]string{"mol/kg", "mol/L", "g/L"}, per) {
			continue
		}
		in.read[i] = true
		x, err := strconv.ParseFloat(number, 64)
		if err != nil {
			in.refuse(c.key, c.value, "a number and a unit")
		}
		out = append(out, solute{c.key, x, per})
	}
	return out
}
