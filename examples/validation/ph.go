package main

import (
	"math"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

func state(t *tables.Tables, in *input) (*solution.State, error) {
	s, err := vessel(t, in)
	if err != nil {
		return nil, err
	}
	if in.has("saturated") {
		return saturatedState(t, in, s, in.text("saturated"))
	}
	return equilibrate(t, in, s)
}

func pH(t *tables.Tables, in *input) (float64, error) {
	st, err := state(t, in)
	if err != nil {
		return 0, err
	}
	return st.PH, nil
}

func bufferCapacity(t *tables.Tables, in *input) (float64, error) {
	st, err := state(t, in)
	if err != nil {
		return 0, err
	}
	return st.BufferCapacityMolPerLitre, nil
}

// pHOnDilution is the dilution value of Bates: the change of pH when the
// solution is mixed with an equal volume of water.
func pHOnDilution(t *tables.Tables, in *input) (float64, error) {
	s, err := vessel(t, in)
	if err != nil {
		return 0, err
	}
	before, err := equilibrate(t, in, s)
	if err != nil {
		return 0, err
	}
	if err := s.AddPureWater(s.Volume()); err != nil {
		return 0, err
	}
	after, err := equilibrate(t, in, s)
	if err != nil {
		return 0, err
	}
	return after.PH - before.PH, nil
}

// pHTemperatureSlope is dpH/dT as it is published: from values five degrees on
// either side.
func pHTemperatureSlope(t *tables.Tables, in *input) (float64, error) {
	s, err := vessel(t, in)
	if err != nil {
		return 0, err
	}
	at := s.Temperature()
	const step = 5.0 // K
	var value [2]float64
	for i, sign := range []float64{-1, 1} {
		if err := s.SetTemperature(at + unit.Temperature(sign*step)); err != nil {
			return 0, err
		}
		st, err := equilibrate(t, in, s)
		if err != nil {
			return 0, err
		}
		value[i] = st.PH
	}
	return (value[1] - value[0]) / (2 * step), nil
}

// saturatedWithReagent is a litre of water with an excess of a reagent whose
// own solid comes down, and the grams of it that dissolve.
func saturatedWithReagent(t *tables.Tables, in *input) (st *solution.State, grams float64, err error) {
	const excess = 0.1 // mol, where the row does not tell
	r, err := t.Reagent(in.text("reagent"))
	if err != nil {
		return nil, 0, err
	}
	s, err := solution.New(t, in.temperature())
	if err != nil {
		return nil, 0, err
	}
	if err := s.AddPureWater(1e-3); err != nil {
		return nil, 0, err
	}
	n := in.numberOr("added_mol", excess)
	if err := s.AddMoles(r, unit.Mole(n)); err != nil {
		return nil, 0, err
	}
	solid, err := t.Formation(r.Formula.String() + "(s)")
	if err != nil {
		return nil, 0, err
	}
	if st, err = saturatedState(t, in, s, solid.Species.String()); err != nil {
		return nil, 0, err
	}
	for _, x := range st.Solids {
		if x.Species == solid.Species.String() {
			n -= x.Moles
		}
	}
	return st, n * r.Formula.MolarMass(), nil
}

func pHOfSaturated(t *tables.Tables, in *input) (float64, error) {
	st, _, err := saturatedWithReagent(t, in)
	if err != nil {
		return 0, err
	}
	return st.PH, nil
}

// solubility is the grams of a reagent that a litre of water dissolves.
func solubility(t *tables.Tables, in *input) (float64, error) {
	_, grams, err := saturatedWithReagent(t, in)
	return grams, err
}

func dissolved(t *tables.Tables, in *input) (float64, error) {
	component := in.text("component")
	st, err := state(t, in)
	if err != nil {
		return 0, err
	}
	return dissolvedTotal(t, st, component)
}

// logDissolvedAtPH is log10 of what a solid gives to water that is brought to
// a pH with hydrochloric acid or sodium hydroxide.
func logDissolvedAtPH(t *tables.Tables, in *input) (float64, error) {
	component, target := in.text("component"), in.number("pH")
	s, err := vessel(t, in)
	if err != nil {
		return 0, err
	}
	st, err := equilibrate(t, in, s)
	if err != nil {
		return 0, err
	}
	name := "HCl"
	if st.PH < target {
		name = "NaOH"
	}
	r, err := t.Reagent(name)
	if err != nil {
		return 0, err
	}
	d, err := s.Dose(r, solution.PH(target))
	if err != nil {
		return 0, err
	}
	if err := s.Add(r, d.Mass()); err != nil {
		return 0, err
	}
	if st, err = saturatedState(t, in, s, in.text("saturated")); err != nil {
		return 0, err
	}
	c, err := dissolvedTotal(t, st, component)
	return math.Log10(c), err
}
