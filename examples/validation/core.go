package main

import (
	"fmt"
	"math"
	"slices"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// A constant is core if a species that rests on it holds more than this part of
// a component in one of the baths.
const coreShare = 0.02

// bathOf is one of the five baths: a litre with 25 g of tetrasodium EDTA, as in the
// bath of a tool library, at what stage.
type bathOf struct {
	name  string
	water string
	brew  func(b *brew)
}

var baths = []bathOf{
	{"fresh at pH 11", "tap water", func(b *brew) { b.to("NaOH", "HCl", 11) }},
	{"at pH 7", "tap water", func(b *brew) { b.to("NaOH", "citric acid", 7) }},
	{"half used and drifted", "tap water", func(b *brew) { b.to("NaOH", "citric acid", 7); b.rust() }},
	{"soured to pH 4", "tap water", func(b *brew) { b.to("NaOH", "citric acid", 7); b.rust(); b.to("NaOH", "citric acid", 4) }},
	{"in hard water", "very hard water", func(b *brew) { b.to("NaOH", "citric acid", 7) }},
}

var bathTemperatures = []float64{10, 20, 40} // °C

// brew mixes a bath and keeps the first error.
type brew struct {
	t   *tables.Tables
	s   *solution.Solution
	err error
}

func (b *brew) do(err error) {
	if b.err == nil {
		b.err = err
	}
}

// to brings the bath to a pH with a base or an acid, whichever it takes.
func (b *brew) to(base, acid string, pH float64) {
	if b.err != nil {
		return
	}
	st, err := b.s.Equilibrate()
	if err != nil {
		b.do(err)
		return
	}
	name := acid
	if st.PH < pH {
		name = base
	}
	r, err := b.t.Reagent(name)
	b.do(err)
	if b.err != nil {
		return
	}
	d, err := b.s.Dose(r, solution.PH(pH))
	b.do(err)
	b.do(b.s.Add(r, d.Mass()))
}

// Half of the EDTA is used up by rust. A tenth of the iron is iron(II), from the
// steel that iron(III) attacks (our judgement).
const (
	usedFraction = 0.5
	ferrousShare = 0.1
)

// rust dissolves lepidocrocite and some steel.
func (b *brew) rust() {
	if b.err != nil {
		return
	}
	edta, err := b.s.Amount("edta4-")
	b.do(err)
	iron := usedFraction * edta
	b.do(b.s.AddSpecies("FeOOH(s, lepidocrocite)", (1-ferrousShare)*iron))
	// Iron(II) comes with the hydroxide that its making leaves behind.
	b.do(b.s.AddSpecies("Fe(OH)2(s)", ferrousShare*iron))
}

func (x bathOf) mix(t *tables.Tables, celsius float64) (*solution.State, error) {
	s, err := solution.New(t, chem.Celsius(celsius))
	if err != nil {
		return nil, err
	}
	b := &brew{t: t, s: s}
	w, err := t.Water(x.water)
	b.do(err)
	b.do(s.AddWater(w, 1e-3))
	salt, err := t.Reagent("tetrasodium EDTA")
	b.do(err)
	b.do(s.Add(salt, 0.025))
	x.brew(b)
	if b.err != nil {
		return nil, fmt.Errorf("the bath %s: %w", x.name, b.err)
	}
	return s.Equilibrate()
}

// workedOn are the solids that a bath is there to dissolve: no dissolved species rests
// on them, but the capacity does.
var workedOn = []string{"Fe(OH)3(s, ferrihydrite)", "FeOOH(s, lepidocrocite)", "FeOOH(s, goethite)"}

// core are the reactions that matter in the baths, as indices into
// [tables.Tables.Equilibria], with the largest share that rests on each.
func core(t *tables.Tables) (map[int]float64, error) {
	largest := map[int]float64{}
	for _, x := range baths {
		for _, celsius := range bathTemperatures {
			st, err := x.mix(t, celsius)
			if err != nil {
				return nil, err
			}
			all, err := makings(t, st)
			if err != nil {
				return nil, err
			}
			holds := map[int]float64{} // of each component, H⁺ that is given off counted as if taken
			for _, m := range all {
				for _, c := range m.Coefficients {
					holds[c.Component] += math.Abs(c.N) * m.molPerLitre
				}
			}
			for _, m := range all {
				part := 0.0
				for _, c := range m.Coefficients {
					part = max(part, math.Abs(c.N)*m.molPerLitre/holds[c.Component])
				}
				if part <= coreShare {
					continue
				}
				for _, step := range m.Steps {
					largest[step.Equilibrium] = max(largest[step.Equilibrium], part)
				}
			}
		}
	}
	for _, name := range workedOn {
		f, err := t.Formation(name)
		if err != nil {
			return nil, err
		}
		for _, step := range f.Steps {
			largest[step.Equilibrium] = 1
		}
	}
	return largest, nil
}

// sorted are the keys of a set, in order.
func sorted[V any](set map[int]V) []int {
	var out []int
	for k := range set {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}
