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
	tables *tables.Tables
	model  *reading.Model
	setup  reading.Setup // what is believed
	random *rand.Rand
	fault

	bath       reading.Setup // of one salt; reagents and water with their own figures
	instrument tables.Strip
	off        float64 // pH of the bath less that of the solver
	bias       float64 // of the instrument
	gross      float64 // chance that a reading is a mistake
	vessel     *solution.Solution

	course
}

// course is how a trial went.
type course struct {
	events []reading.Event
	pours  int     // of acid or base, after the bag
	pH     float64 // true, now
	past   bool    // some pour went past the target by more than a step
	asked  int     // ranges that hold nine in ten, and how many held the truth
	held   int
	claim  float64 // chance of the window on stopping; not a number for a rule without claims
}

// biasFraction is the part of the variance of a strip's error that stays.
const biasFraction = 0.5

// draw draws a bath of which all that is told is right, and makes the fault. Trials of
// the same seed are the same bath whatever is done to them.
func draw(t *tables.Tables, m *reading.Model, u truth, seed uint64) (*trial, error) {
	random := rand.New(rand.NewPCG(seed, 0x747269616c))
	bath, off, err := m.Draw(random)
	if err != nil {
		return nil, err
	}
	mistake, err := tables.Find[tables.Doubt](t, "reading")
	if err != nil {
		return nil, err
	}
	x := &trial{tables: t, model: m, setup: m.Setup(), random: random, bath: bath, off: off, gross: mistake.More, fault: sound}
	if x.instrument, err = t.Strip(u.instrument); err != nil {
		return nil, err
	}
	x.bias = math.Sqrt(biasFraction) * reading.Misreading(x.instrument) * random.NormFloat64()
	if u.spoil != nil {
		if err := u.spoil(x); err != nil {
			return nil, err
		}
	}
	if x.vessel, err = solution.New(t, x.setup.Temperature); err != nil {
		return nil, err
	}
	volume := x.setup.Volume * unit.Volume(x.fill)
	if err := x.vessel.AddWater(x.bath.Water, volume); err != nil {
		return nil, err
	}
	carbon := unit.Mole(x.gas * float64(volume)) // mmol/L are mol/m³
	if err := x.vessel.AddSpecies("CO3^2-", carbon); err != nil {
		return nil, err
	}
	if err := x.vessel.AddSpecies("H+", 2*carbon); err != nil {
		return nil, err
	}
	if err := x.add(tables.Reagent{}, x.setup.Amount); err != nil {
		return nil, err
	}
	x.events = nil
	return x, x.settle()
}

// add stirs something in, as badly measured as the model takes it to be; the zero
// reagent stands for the bag.
func (x *trial) add(r tables.Reagent, a measure.Amount) error {
	own, times := r, x.strength
	switch r.ID {
	case "":
		own, times = x.bath.Bag[0].Salt, x.count
	case x.bath.Acid.ID:
		own = x.bath.Acid
	case x.bath.Base.ID:
		own = x.bath.Base
	}
	mass := a.MassGrams
	if a.VolumeLitres > 0 { // its own packing, beyond what Weigh lets pass
		mass = a.VolumeLitres * own.Packing().Typical
		if r.ID != "" {
			times *= x.heap
		}
	}
	mass *= times * (1 + reading.MeasuringError(a, own.Form)*x.random.NormFloat64())
	x.events = append(x.events, reading.Added{Reagent: r, Amount: a})
	if r.ID != "" {
		return x.vessel.Add(own, unit.Mass(mass)*measure.Gram)
	}
	if err := x.vessel.Add(own, unit.Mass(mass*(1-x.filler))*measure.Gram); err != nil || x.with == "" {
		return err
	}
	filler, err := x.tables.Reagent(x.with)
	if err != nil {
		return err
	}
	return x.vessel.Add(filler, unit.Mass(mass*x.filler)*measure.Gram)
}

// settle takes note of the true pH.
func (x *trial) settle() error {
	st, err := x.vessel.Equilibrate()
	if err == nil {
		x.pH = st.PH + x.off
	}
	return err
}

// pour adds acid or base and notes an overshoot.
func (x *trial) pour(r tables.Reagent, a measure.Amount) error {
	before := x.pH
	if err := x.add(r, a); err != nil {
		return err
	}
	x.pours++
	if err := x.settle(); err != nil {
		return err
	}
	low, high := x.setup.PH-reading.Step, x.setup.PH+reading.Step
	x.past = x.past || x.pH < low && before >= low || x.pH > high && before <= high
	return nil
}

// look reads the instrument, with its bias, and gross errors now and then.
func (x *trial) look() float64 {
	own := math.Sqrt(1-biasFraction) * reading.Misreading(x.instrument) * x.random.NormFloat64()
	value := x.instrument.Read(x.pH + x.bias + own)
	if x.random.Float64() < x.gross {
		marks := x.instrument.Marks()
		value = marks[x.random.IntN(len(marks))]
	}
	x.events = append(x.events, reading.Read{Strip: x.instrument, Value: value})
	return value
}
