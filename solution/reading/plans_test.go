package reading

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
)

// One belief serves every plan: of any chelant, with an acid or a base, by a dose that
// is large, with more in the bath than the bag. The dose for a bath as the tables
// typically have it is that of the solver, and the ranges about it are finite.
func TestForecastServesEveryPlan(t *testing.T) {
	for _, x := range []struct {
		salt, amount, setter string
		pH                   float64
		extra, extraAmount   string
	}{
		{"tetrasodium EDTA", "500 g", "citric acid", 7, "", ""},
		{"tetrasodium EDTA", "500 g", "citric acid", 2.5, "", ""},
		{"tetrasodium EDTA", "500 g", "citric acid", 11, "", ""},
		{"tetrasodium EDTA", "500 g", "vinegar", 5, "", ""},
		{"tetrasodium EDTA", "500 g", "muriatic acid", 2, "", ""},
		{"tetrasodium EDTA", "500 g", "phosphoric acid", 6, "", ""},
		{"tetrasodium EDTA", "500 g", "sodium bisulfate", 7, "", ""},
		{"tetrasodium EDTA", "500 g", "baking soda", 10, "", ""},
		{"tetrasodium EDTA", "500 g", "EDTA acid", 7, "", ""},
		{"liquid tetrasodium EDTA", "1 L", "citric acid", 7, "", ""},
		{"disodium EDTA", "500 g", "washing soda", 7, "", ""},
		{"disodium EDTA", "500 g", "washing soda", 9, "", ""},
		{"disodium EDTA", "500 g", "lye", 12, "", ""},
		{"disodium EDTA", "500 g", "tetrasodium EDTA", 7, "", ""},
		{"disodium EDTA", "500 g", "ammonia", 8, "", ""},
		{"EDTA acid", "300 g", "lye", 7, "", ""},
		{"EDTA acid", "300 g", "tetrasodium EDTA", 5, "", ""},
		{"trisodium NTA", "400 g", "citric acid", 6, "", ""},
		{"trisodium citrate", "500 g", "citric acid", 5, "", ""},
		{"citric acid", "500 g", "washing soda", 5, "", ""},
		{"citric acid", "500 g", "ammonia", 4, "", ""},
		{"sodium gluconate", "500 g", "lye", 12, "", ""},
		{"tartaric acid", "300 g", "baking soda", 4, "", ""},
		{"diammonium citrate", "500 g", "lye", 7, "", ""},
		{"potassium dihydrogen citrate", "500 g", "potassium hydroxide", 6, "", ""},
		{"tetrasodium EDTA", "500 g", "citric acid", 7, "washing soda", "200 g"},
		{"tetrasodium EDTA", "100 g", "citric acid", 7, "sodium gluconate", "500 g"},
		{"disodium EDTA", "300 g", "lye", 7, "disodium EDTA", "200 g"},
		{"tetrasodium EDTA", "10 g", "citric acid", 6, "", ""},
		{"tetrasodium EDTA", "3 kg", "citric acid", 7, "", ""},
	} {
		name := x.amount + " " + x.salt + " to " + x.setter
		s := tub(t)
		s.Bag, s.Amount, s.PH = []Candidate{{reagent(t, x.salt), 1}}, amount(t, x.amount), x.pH
		if x.extra != "" {
			s.Extras = []Added{{reagent(t, x.extra), amount(t, x.extraAmount)}}
		}
		v, err := solution.New(standard(t), s.Temperature)
		require.NoError(t, err)
		require.NoError(t, v.AddWater(s.Water, s.Volume))
		mass, err := s.Amount.Weigh(s.Bag[0].Salt.Packing())
		require.NoError(t, err)
		require.NoError(t, v.Add(s.Bag[0].Salt, mass.Typical()))
		for _, e := range s.Extras {
			require.NoError(t, v.Add(e.Reagent, unit.Mass(e.Amount.MassGrams)*measure.Gram))
		}
		setter := reagent(t, x.setter)
		want, err := v.Dose(setter, solution.PH(x.pH))
		require.NoError(t, err, name)
		s.Acid, s.Base = setter, s.Acid
		s.Base.ID = ""
		if want.Before.PH < x.pH {
			s.Acid, s.Base = s.Base, setter
		}
		m, err := New(standard(t), s)
		if !assert.NoError(t, err, name) {
			continue
		}
		var mix mixture
		k := m.salts[0]
		k.pour(&mix, mass.TypicalGrams*k.reagent.Assay.Typical, k.free.Typical)
		p, err := m.template(setter)
		require.NoError(t, err)
		got, reached := m.surface.need(&mix, &p, m.sign, x.pH)
		assert.True(t, reached, name)
		f, err := m.Forecast(func(bag, dose float64) float64 { return bag + dose })
		require.NoError(t, err)
		t.Logf("%-60s pH %5.2f -> %4.1f: %8.1f g by the solver, %8.1f, %.3f off; %7.1f to %7.1f, first %7.1f, never %.3f; pH %5.2f; iron %.2f",
			name, want.Before.PH, x.pH, want.MassGrams, got, got/want.MassGrams-1, f.DoseGrams.Low, f.DoseGrams.High, f.FirstGrams, f.NeverFraction, m.surface.pH(&mix), f.IronMoles.Typical)
		// A surface that is off by less than the constants is as good as the solver.
		at := mix
		p.stir(&at, want.MassGrams)
		assert.True(t, math.Abs(got/want.MassGrams-1) < 0.01 || math.Abs(m.surface.pH(&at)-x.pH) < 1.2*constants, name)
		assert.InDelta(t, want.Before.PH, m.surface.pH(&mix), 0.05, name)
		for _, r := range []Figure{f.PH, f.DoseGrams, f.IronMoles, *f.Cost} {
			assert.False(t, math.IsInf(r.Low, 0) || math.IsInf(r.High, 0) || math.IsNaN(r.Low+r.High), name)
			assert.LessOrEqual(t, r.Low, r.High)
		}
	}
}

// Where the acid gives out before some baths are at the target, the dose of those stands
// at the most that the bath can take: vinegar, whose own pH is 2.4, hardly gets there.
func TestForecastOutOfReach(t *testing.T) {
	s := tub(t)
	s.Bag, s.Acid, s.Base = tetrasodium(t), reagent(t, "vinegar"), reagent(t, "washing soda")
	last := 0.0
	for _, pH := range []float64{5, 4, 3.5, 3.2, 3} {
		s.PH = pH
		f, err := model(t, s).Forecast(nil)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, f.NeverFraction, last, "pH %g", pH)
		assert.LessOrEqual(t, f.DoseGrams.High, s.most(s.Acid))
		t.Logf("pH %g: never %.3f, dose %.0f to %.0f g", pH, f.NeverFraction, f.DoseGrams.Low, f.DoseGrams.High)
		last = f.NeverFraction
	}
	assert.Greater(t, last, 0.9)
}
