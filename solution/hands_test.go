package solution

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// What hands do to a vessel has ends: they are taken, and what lies a millionth beyond is refused by
// the figure as it was given and leaves the vessel as it was.
func TestWhatHandsMayDo(t *testing.T) {
	acid, water := reagent(t, "citric acid, anhydrous"), tables.Water{}
	airs, err := chem.ParseReaction("4 Fe2+ + O2(g) + 4 H+ = 4 Fe3+ + 2 H2O")
	require.NoError(t, err)
	inf := math.Inf(1)
	tubful := 1000 * float64(tub(t).Volume())
	for _, x := range []struct {
		what     string
		do       func(s *Solution, v float64) error
		taken    []float64
		refused  []float64
		asWanted string // format of the figure in the refusal
	}{
		{"mass", func(s *Solution, g float64) error { return s.Add(acid, unit.Mass(g/1000)) }, []float64{0, 5}, []float64{-5, -1e-6, inf, math.NaN()}, "%.4g g"},
		{"moles", func(s *Solution, n float64) error { return s.AddMoles(acid, unit.Mole(n)) }, []float64{0, 0.1}, []float64{-5, -1e-6, inf, math.NaN()}, ""},
		{"water", func(s *Solution, l float64) error { return s.AddWater(water, unit.Volume(l/1000)) }, []float64{0, 1}, []float64{-5, -1e-6, inf, math.NaN()}, "%.4g L"},
		{"removed", func(s *Solution, f float64) error { return s.Remove(f) }, []float64{0, 0.999999}, []float64{-1e-6, 1, inf, math.NaN()}, "%.4g"},
		{"evaporated", func(s *Solution, part float64) error { return s.Evaporate(unit.Volume(part * tubful / 1000)) }, []float64{0, 0.9}, []float64{-1e-6, 0.9000009, inf, math.NaN()}, ""},
		{"extent", func(s *Solution, n float64) error { return s.React(airs, unit.Mole(n)) }, []float64{0, 2.5e-4}, []float64{2.50001e-4, -1e-9, 1, inf, -inf, math.NaN()}, "%.4g mol"},
	} {
		for _, v := range x.taken {
			s := tub(t)
			require.NoError(t, s.AddSpecies("Fe2+", 0.001))
			assert.NoError(t, x.do(s, v), "%s %g", x.what, v)
		}
		for _, v := range x.refused {
			s := tub(t)
			require.NoError(t, s.AddSpecies("Fe2+", 0.001))
			before := equilibrate(t, s)
			err := x.do(s, v)
			require.ErrorIs(t, err, chem.ErrInput, "%s %g", x.what, v)
			if x.asWanted != "" {
				assert.ErrorContains(t, err, fmt.Sprintf(x.asWanted, v), x.what)
			}
			if x.what == "extent" && (math.IsInf(v, 0) || math.IsNaN(v)) {
				assert.ErrorContains(t, err, "want a finite number", "%g", v)
			}
			assert.Equal(t, before.Components, equilibrate(t, s).Components, "%s %g", x.what, v)
		}
	}
}

// Of a syrup that is less than nine tenths water no more goes than there is.
func TestNoMoreWaterThanThereIs(t *testing.T) {
	s := tub(t)
	require.NoError(t, s.Add(reagent(t, "citric acid, anhydrous"), unit.Mass(20*float64(s.Volume())*1000)/1000*20))
	left := s.water
	require.Less(t, left, 0.9*s.volume)
	require.ErrorIs(t, s.Evaporate(unit.Volume(1.000001*left/1000)), chem.ErrInput)
	require.NoError(t, s.Evaporate(unit.Volume(0.999*left/1000)))
}

// One unit of what is poured is half of two, as none is none: of a salt the mass that a unit has.
func TestPouringAddsUp(t *testing.T) {
	r := reagent(t, "disodium EDTA dihydrate")
	of := func(units float64) *Solution {
		s := tub(t)
		a, err := s.additionOf(r)
		require.NoError(t, err)
		require.NoError(t, s.Add(r, unit.Mass(units*a.grams/1000)))
		return s
	}
	none, one, two := of(0), of(1), of(2)
	for i := range none.amounts {
		assert.InDelta(t, (two.amounts[i]-none.amounts[i])/2, one.amounts[i]-none.amounts[i], 1e-12)
	}
	assert.InDelta(t, (two.volume-none.volume)/2, one.volume-none.volume, 1e-9)
	assert.Greater(t, one.volume, none.volume)
}

// Where soda fizzes as the acid goes in, what has left asks for more acid: after the dose of today
// has gone in and fizzed, the bath shows the pH.
func TestDoseOfTodayInASodaBath(t *testing.T) {
	for _, pH := range []float64{5, 6, 6.5} {
		s, acid := tub(t), reagent(t, "citric acid")
		require.NoError(t, s.Add(reagent(t, "washing soda"), 0.4))
		d, err := s.OpenDose(acid, pH)
		require.NoError(t, err)
		require.NoError(t, s.Add(acid, unit.Mass(d.NowGrams/1000)))
		litres, err := s.Fizz()
		require.NoError(t, err)
		require.Greater(t, litres, 1.0)
		assert.InDelta(t, pH, equilibrate(t, s).PH, 0.01)
		assert.InDelta(t, litres, d.NowFizzLitres, 1e-3*litres)
	}
}
