package main

import (
	"math"

	"example.com/chelation/tables"
)

// check is one published value: a row of testdata.
type check struct {
	topic      string // name of the file without its ending
	line       int    // in the file, from 1
	id         string
	quantity   string
	conditions conditions
	published  float64
	unit       string
	tolerance  float64 // absolute, in the same unit
	expect     expectation
	basis      basis
	trust      trust
	source     string
	note       string
}

// expectation is how a row is marked: how it and a sound model ought to
// compare. A mark that no longer holds fails.
type expectation string

const (
	agree    expectation = "agree"    // within the tolerance
	disagree expectation = "disagree" // outside; the note tells why
	inRange  expectation = "range"    // within a range that the source prints, which is all it says
)

// verdict is how a row came out.
type verdict string

const (
	agrees  verdict = "agrees"
	differs verdict = "differs" // as marked
	inside  verdict = "inside"  // the range
	fails   verdict = "FAILS"
)

// outcome is a check with what the library computes.
type outcome struct {
	check
	computed float64
	verdict  verdict
	rests    map[int]bool // the fitted reactions it rests on
	err      error        // why nothing was computed
}

func (o outcome) difference() float64 { return o.computed - o.published }

// ratio is the difference in units of the tolerance.
func (o outcome) ratio() float64 {
	d := math.Abs(o.difference())
	if d == 0 {
		return 0
	}
	return d / o.tolerance
}

// rounding allows for the last bits of a double where the tolerance is none:
// 0.1 mm and 25.4 mm are no binary numbers.
const rounding = 1e-12

// outcomeOf computes one check. The error is about the row, not about the library.
func outcomeOf(t *tables.Tables, c check) (outcome, error) {
	o := outcome{check: c, computed: math.NaN(), verdict: fails}
	compute, ok := quantities[c.quantity]
	if !ok {
		return o, c.refuse("quantity", c.quantity, "a quantity that the harness computes")
	}
	in := c.conditions.reader(c)
	o.computed, o.err = compute(t, in)
	o.rests = in.rests
	if in.err != nil {
		return o, in.err
	}
	if o.err != nil {
		o.computed = math.NaN()
		return o, nil
	}
	if err := in.unread(); err != nil {
		return o, err
	}
	within := math.Abs(o.difference()) <= o.tolerance+rounding*math.Abs(o.published)
	switch {
	case within && c.expect == agree:
		o.verdict = agrees
	case within && c.expect == inRange:
		o.verdict = inside
	case !within && c.expect == disagree && !math.IsNaN(o.computed):
		o.verdict = differs
	}
	return o, nil
}
