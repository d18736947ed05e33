package main

import "math"

// truth is a way in which what is told of a bath may be wrong.
type truth struct {
	name       string
	label      string // of the bag; empty if it has none
	instrument string
	spoil      func(x *trial) error
}

// fault is what is wrong with a bath, beyond its bag and its water.
type fault struct {
	fill     float64 // times the water that is told
	count    float64 // times what is told of the bag
	heap     float64 // times a level spoon of acid or base
	strength float64 // of acid or base, times what is sold
	gas      float64 // carbon dioxide, mmol/L
	filler   float64 // part of the bag
	with     string  // reagent that the filler is; empty if it does nothing
}

var sound = fault{fill: 1, count: 1, heap: 1, strength: 1}

const (
	units = "universal strip"
	meter = "pH meter"
	named = "tetrasodium EDTA"
)

// truths are those that advice is tried on. What is wrong is as large as a shop may
// meet it; which way it goes is drawn.
var truths = []truth{
	{"all as told", "", units, nil},
	{"all as told", named, units, nil},
	{"all as told", "", meter, nil},
	{"another salt of EDTA", named, units, func(x *trial) error {
		return x.holds("disodium EDTA", "trisodium EDTA", "trisodium EDTA dihydrate", "EDTA acid")
	}},
	{"not EDTA", "", units, (*trial).stranger},
	{"not EDTA", named, units, (*trial).stranger},
	{"30 % of filler", "", units, (*trial).stretched},
	{"30 % of filler", named, units, (*trial).stretched},
	{"10 to 30 % damp", "", units, (*trial).damp},
	{"10 to 30 % damp", named, units, (*trial).damp},
	{"several faults", "", units, (*trial).several},
	{"several faults", named, units, (*trial).several},
	{"meter off by 0.3", "", meter, func(x *trial) error { x.bias = x.either(-0.3, 0.3); return nil }},
	// Those of the shop that no table has.
	{"a cup too many or too few", named, units, func(x *trial) error { x.count = x.either(2.0/3, 4.0/3); return nil }},
	{"30 % of washing soda", named, units, func(x *trial) error { x.filler, x.with = 0.3, "washing soda"; return nil }},
	{"heaped spoons of acid", "", units, func(x *trial) error { x.heap = 1.4; return nil }},
	{"acid or base of 80 %", "", units, func(x *trial) error { x.strength = 0.8; return nil }},
	{"very hard water", named, units, func(x *trial) (err error) { x.bath.Water, err = x.tables.Water("very hard tap water"); return err }},
	{"gassy water", named, units, func(x *trial) error { x.gas = 2; return nil }},
	{"16 or 25 L of water", named, units, func(x *trial) error { x.fill = x.either(0.8, 1.25); return nil }},
	{"strip off by a half", "", units, func(x *trial) error { x.bias = x.either(-0.5, 0.5); return nil }},
	{"every tenth reading a mistake", "", units, func(x *trial) error { x.gross = 0.1; return nil }},
}

// either returns one of two values.
func (x *trial) either(a, b float64) float64 {
	if x.random.IntN(2) == 0 {
		return a
	}
	return b
}

// between returns a value drawn evenly.
func (x *trial) between(a, b float64) float64 { return a + (b-a)*x.random.Float64() }

// holds fills the bag with one of several reagents.
func (x *trial) holds(names ...string) (err error) {
	x.bath.Bag[0].Salt, err = x.tables.Reagent(names[x.random.IntN(len(names))])
	return err
}

// stranger fills the bag with what is no EDTA.
func (x *trial) stranger() error {
	return x.holds("trisodium NTA", "trisodium citrate", "sodium gluconate", "washing soda", "baking soda")
}

func (x *trial) stretched() error { x.filler = 0.3; return nil }

// damp lets water into the bag; it takes room and mass.
func (x *trial) damp() error { x.filler = x.between(0.1, 0.3); return nil }

// several faults at once: filler, spoons, water and strip, and some spoons of citric
// acid that take up water.
func (x *trial) several() error {
	x.filler, x.heap, x.strength, x.gas = x.between(0, 0.3), x.between(1, 1.4), x.between(0.85, 1), x.between(0, 1)
	x.bias += x.between(-0.3, 0.3)
	x.count = x.between(0.85, 1.15)
	x.bath.Water = x.bath.Water.Times(math.Exp(x.between(-0.7, 0.7)))
	return nil
}
