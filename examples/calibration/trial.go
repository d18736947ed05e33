package main

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/reading"
	"example.com/chelation/tables"
)

// trial is a bath with a truth, to try advice on. Its pH comes from the solver.
type trial struct {
	truth reading.Setup // of one salt; reagents and water with their own figures
	off   float64       // pH of the bath less that of the solver
	bias  float64       // part of the variance of a strip's error, rounding apart, that stays

	tables *tables.Tables
	model  *reading.Model
	setup  reading.Setup // what is believed
	random *rand.Rand
	vessel *solution.Solution
	fresh  *solution.Solution // the bag in water
	poured []poured           // what came after it
	biases map[string]float64 // of each strip, in standard deviations
	edta   float64            // mol
}

// poured is what went into a trial.
type poured struct {
	reagent tables.Reagent
	grams   float64
}

// draw draws a bath from what the model believes. Trials of the same seed are the
// same bath whatever is done to them, so that two ways of proceeding can be compared.
func draw(t *tables.Tables, m *reading.Model, seed uint64, bias float64) (*trial, error) {
	random := rand.New(rand.NewPCG(seed, 0x747269616c))
	truth, off, err := m.Draw(random)
	if err != nil {
		return nil, err
	}
	x := &trial{tables: t, truth: truth, off: off, bias: bias, model: m, setup: m.Setup(), random: random, biases: map[string]float64{}}
	if x.vessel, err = solution.New(t, x.setup.Temperature); err != nil {
		return nil, err
	}
	if err := x.vessel.AddWater(truth.Water, x.setup.Volume); err != nil {
		return nil, err
	}
	if err := x.add(reading.Added{Amount: x.setup.Amount}); err != nil {
		return nil, err
	}
	x.fresh, x.poured = x.vessel.Clone(), nil
	return x, nil
}

// actual is a reagent as it is in this bath; none stands for the bag.
func (x *trial) actual(r tables.Reagent) tables.Reagent {
	for _, own := range []tables.Reagent{x.truth.Acid, x.truth.Base} {
		if own.ID == r.ID {
			return own
		}
	}
	if r.ID == "" {
		return x.truth.Bag[0].Salt
	}
	return r
}

// add stirs something in, as badly measured as the model takes it to be.
func (x *trial) add(e reading.Added) error {
	r := x.actual(e.Reagent)
	mass := unit.Mass(e.Amount.MassGrams) * measure.Gram
	if litres := e.Amount.VolumeLitres; litres > 0 { // its own packing, beyond what Weigh lets pass
		mass = unit.Mass(litres*r.Packing().Typical) * measure.Gram
	}
	mass *= unit.Mass(1 + reading.MeasuringError(e.Amount, r.Form)*x.random.NormFloat64())
	if r.Chelant.Equal(x.truth.Bag[0].Salt.Chelant) {
		x.edta += float64(mass/measure.Gram) * r.MolPerGram().Typical
	}
	x.poured = append(x.poured, poured{r, float64(mass / measure.Gram)})
	return x.vessel.Add(r, mass)
}

// pH returns what a perfect meter would read.
func (x *trial) pH() (float64, error) {
	st, err := x.vessel.Equilibrate()
	if err != nil {
		return 0, err
	}
	return st.PH + x.off, nil
}

// need returns the mass in g of a reagent, of its own strength, that would bring
// the bath from here to a pH. It is negative when so much less of it should have
// gone in, and an error that wraps solution.ErrUnreachable says that none of it
// ever should.
func (x *trial) need(r tables.Reagent, pH float64) (float64, error) {
	v := x.fresh.Clone()
	had := 0.0
	for _, p := range x.poured {
		if p.reagent.ID == r.ID {
			had += p.grams
		} else if err := v.Add(p.reagent, unit.Mass(p.grams)*measure.Gram); err != nil {
			return 0, err
		}
	}
	d, err := v.Dose(x.actual(r), solution.PH(pH-x.off))
	return d.MassGrams - had, err
}

// read reads a strip or a meter, with its bias and with gross errors as often as
// the model expects them.
func (x *trial) read(s tables.Strip) (reading.Read, error) {
	pH, err := x.pH()
	if err != nil {
		return reading.Read{}, err
	}
	bias, ok := x.biases[s.ID]
	if !ok {
		bias = x.random.NormFloat64()
		x.biases[s.ID] = bias
	}
	deviation, gross := reading.Misreading(s)
	value := s.Read(pH + deviation*(math.Sqrt(x.bias)*bias+math.Sqrt(1-x.bias)*x.random.NormFloat64()))
	if x.random.Float64() < gross {
		marks := s.Marks()
		value = marks[x.random.IntN(len(marks))]
	}
	return reading.Read{Strip: s, Value: value}, nil
}
