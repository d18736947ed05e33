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
// own solid comes down.
func saturatedWithReagent(t *tables.Tables, in *input) (tables.Reagent, *solution.State, error) {
	r, err := t.Reagent(in.text("reagent"))
	if err != nil {
		return r, nil, err
	}
	s, err := solution.New(t, in.temperature())
	if err != nil {
		return r, nil, err
	}
	if err := s.AddPureWater(1e-3); err != nil {
		return r, nil, err
	}
	if err := s.AddMoles(r, 0.1); err != nil {
		return r, nil, err
	}
	st, err := saturatedState(t, in, s, r.Formula.String()+"(s)")
	return r, st, err
}

func pHOfSaturated(t *tables.Tables, in *input) (float64, error) {
	_, st, err := saturatedWithReagent(t, in)
	if err != nil {
		return 0, err
	}
	return st.PH, nil
}

// solubility of a chelant in g/L.
func solubility(t *tables.Tables, in *input) (float64, error) {
	r, st, err := saturatedWithReagent(t, in)
	if err != nil {
		return 0, err
	}
	c, err := dissolvedTotal(t, st, r.Chelant.String())
	return c * r.Formula.MolarMass(), err
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
