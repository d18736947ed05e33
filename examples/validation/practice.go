package main

import (
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// The rules of thumb of the trade: spoons in a US quart of tap water.

// powder is what practice starts with.
const powder = "Na4EDTA.2H2O"

func quart(t *tables.Tables, in *input) (*solution.Solution, error) {
	s, err := solution.New(t, in.temperature())
	if err != nil {
		return nil, err
	}
	v, err := measure.ParseVolume("1 qt")
	if err != nil {
		return nil, err
	}
	w, err := t.Water("tap water")
	if err != nil {
		return nil, err
	}
	if err := s.AddWater(w, v); err != nil {
		return nil, err
	}
	return s, addSpoons(t, s, powder, in.text(powder))
}

func addSpoons(t *tables.Tables, s *solution.Solution, reagent, spoons string) error {
	r, err := t.Reagent(reagent)
	if err != nil {
		return err
	}
	v, err := measure.ParseVolume(spoons)
	if err != nil {
		return err
	}
	return s.AddVolume(r, v)
}

// read is what a strip shows of a vessel to a perfect eye: the nearest mark.
func read(t *tables.Tables, in *input, s *solution.Solution) (float64, error) {
	strip, err := t.Strip(in.text("strip"))
	if err != nil {
		return 0, err
	}
	st, err := equilibrate(t, in, s)
	if err != nil {
		return 0, err
	}
	return strip.Read(st.PH), nil
}

func stripInQuart(t *tables.Tables, in *input) (float64, error) {
	s, err := quart(t, in)
	if err != nil {
		return 0, err
	}
	return read(t, in, s)
}

// neutralise doses a vessel with a reagent to the row's pH.
func neutralise(t *tables.Tables, in *input, s *solution.Solution, reagent string) (tables.Reagent, solution.Dose, error) {
	r, err := t.Reagent(reagent)
	if err != nil {
		return r, solution.Dose{}, err
	}
	d, err := s.Dose(r, solution.PH(in.number("pH")))
	if err != nil {
		return r, d, err
	}
	return r, d, s.Add(r, d.Mass())
}

// spoonsToPH is how many of a measure bring the quart to a pH.
func spoonsToPH(t *tables.Tables, in *input) (float64, error) {
	s, err := quart(t, in)
	if err != nil {
		return 0, err
	}
	r, d, err := neutralise(t, in, s, in.text("reagent"))
	if err != nil {
		return 0, err
	}
	if _, err := equilibrate(t, in, s); err != nil {
		return 0, err
	}
	v, err := measure.ParseVolume(in.text("measure"))
	if err != nil {
		return 0, err
	}
	return float64(r.Bulk.VolumeOf(d.Mass()) / v), nil
}

// stripAfterNeutral is read when more powder follows the acid.
func stripAfterNeutral(t *tables.Tables, in *input) (float64, error) {
	s, err := quart(t, in)
	if err != nil {
		return 0, err
	}
	if _, _, err := neutralise(t, in, s, in.text("reagent")); err != nil {
		return 0, err
	}
	if err := addSpoons(t, s, powder, in.text("more")); err != nil {
		return 0, err
	}
	return read(t, in, s)
}
