package reading

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
)

// drawn is a bath drawn from the priors, in the terms of the solver and in those of
// the surface.
type drawn struct {
	t      testing.TB
	truth  Setup
	vessel *solution.Solution
	mix    mixture
}

func draw(t testing.TB, m *Model, seed uint64) *drawn {
	truth, _, err := m.Draw(rand.New(rand.NewPCG(seed, 1)))
	require.NoError(t, err)
	d := &drawn{t: t, truth: truth}
	if typical := m.setup.Water.Alkalinity; typical > 0 {
		d.mix.water = float64(truth.Water.Alkalinity/typical) - 1
	}
	d.vessel, err = solution.New(m.basis.tables, m.setup.Temperature)
	require.NoError(t, err)
	require.NoError(t, d.vessel.AddWater(truth.Water, m.setup.Volume))
	for _, x := range m.extras {
		require.NoError(t, d.vessel.Add(x.reagent, unit.Mass(x.grams/1000)))
	}
	own := truth.Bag[0].Salt
	mass := unit.Mass(m.setup.Amount.MassGrams) * measure.Gram
	if litres := m.setup.Amount.VolumeLitres; litres > 0 {
		mass = unit.Mass(litres*own.Packing().Typical) * measure.Gram
	}
	require.NoError(t, d.vessel.Add(own, mass))
	k, ok := m.basis.salt(own)
	require.True(t, ok)
	k.pour(&d.mix, 1000*float64(mass)*own.Assay.Typical, k.free.Typical)
	return d
}

// add stirs a portion in, at its typical assay.
func (d *drawn) add(p *portion, grams float64) {
	require.NoError(d.t, d.vessel.Add(p.reagent, unit.Mass(grams/1000)))
	p.stir(&d.mix, grams)
}

// pH is that of the solver.
func (d *drawn) pH() float64 {
	st, err := d.vessel.Equilibrate()
	require.NoError(d.t, err)
	return st.PH
}
