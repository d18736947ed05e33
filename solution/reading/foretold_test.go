package reading

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What may go in at once takes 0.4 of the tolerated risk, counted over the baths that start
// within a unit of what is expected: of them no more go past the limit, and a twentieth more
// would take too much or be more than the typical dose. Of spoons the fullest count.
func TestFirstPortionTakesItsPart(t *testing.T) {
	for _, bag := range [][]Candidate{tetrasodium(t)[2:], tetrasodium(t)} {
		for _, risk := range []float64{0.02, 0.2} {
			s := tub(t)
			s.Bag, s.Risk = bag, risk
			m := model(t, s)
			f, err := m.Forecast(nil)
			require.NoError(t, err)
			p := infer(t, m)
			x, err := m.template(s.Acid)
			require.NoError(t, err)
			limit, _ := p.needs(&x, -1, 7-1)
			past := func(grams float64) (share float64) {
				within := 0.0
				for i := range p.baths {
					b := &p.baths[i]
					if math.Abs(b.pH-f.PH.Typical) > 1 {
						continue
					}
					within += b.weight
					full := max(1, m.level(x.packing, b.z, x.packed)/x.packing.Typical)
					if limit[i] > 0 && grams*full > limit[i] {
						share += b.weight
					}
				}
				return share / within
			}
			one := 2 / float64(len(p.baths))
			require.Positive(t, f.FirstGrams)
			assert.LessOrEqual(t, f.FirstGrams, f.DoseGrams.Typical)
			assert.LessOrEqual(t, past(f.FirstGrams*(1-1e-9)), 0.35*risk+one)
			assert.True(t, past(1.05*f.FirstGrams) > 0.35*risk-one || f.FirstGrams > 0.99*f.DoseGrams.Typical, "%g g of %g", f.FirstGrams, f.DoseGrams.Typical)
		}
	}
}

// A forecast by hand: what is told wrong in so many baths by the table of doubts; what costs
// by the bag alone, the dose alone and a constant is their mass and nothing; the iron is the
// chelant's less the hardness; causes come largest first, their shares no less than a
// hundredth, and of a weighed bag it is the weighing.
func TestForecastByHand(t *testing.T) {
	s := labelled(t)
	m := model(t, s)
	right := 1.0
	for _, wrong := range []float64{0.1, 0.1, 0.11, 0.06, 0.04, 0.05, 0.11, 0.1, 0.04} { // label, else, strength, alkali, count, spoon, water, gas, reagent
		right *= 1 - wrong
	}
	by := func(price func(bag, dose float64) float64) *Forecast {
		f, err := m.Forecast(price)
		require.NoError(t, err)
		assert.InDelta(t, 1-right, f.DoubtFraction, 1e-9)
		assert.Equal(t, s.Acid.ID, f.ReagentID)
		return f
	}
	dose := by(func(_, dose float64) float64 { return dose })
	assert.InDelta(t, dose.DoseGrams.Typical, dose.Cost.Typical, 1e-9)
	assert.InDelta(t, dose.DoseGrams.Low, dose.Cost.Low, 1e-9)
	assert.InDelta(t, dose.DoseGrams.High, dose.Cost.High, 1e-9)
	bag := by(func(bag, _ float64) float64 { return bag })
	assert.InEpsilon(t, 500, bag.Cost.Typical, 1e-3)
	assert.InEpsilon(t, 500*(1-1.645*0.01), bag.Cost.Low, 3e-3) // a kitchen scale, one in a hundred
	assert.InEpsilon(t, 500*(1+1.645*0.01), bag.Cost.High, 3e-3)
	require.NotEmpty(t, bag.Cost.Causes)
	assert.Equal(t, "the weighing of the salt", bag.Cost.Causes[0].Name)
	assert.Greater(t, bag.Cost.Causes[0].Share, 0.9)
	assert.Empty(t, by(func(_, _ float64) float64 { return 7 }).Cost.Causes)
	for _, f := range []Figure{dose.PH, dose.DoseGrams, dose.IronMoles} {
		last := 1.0
		for _, c := range f.Causes {
			assert.True(t, 0.01 < c.Share && c.Share <= last+1e-12, c)
			last = c.Share
		}
	}
	salt := s.Bag[0].Salt
	assert.InEpsilon(t, 500*salt.Assay.Typical/salt.Formula.MolarMass()-20*float64(s.Water.Hardness()), dose.IronMoles.Typical, 0.01)
	s.Amount = amount(t, "3 cups")
	spooned, err := model(t, s).Forecast(func(bag, _ float64) float64 { return bag })
	require.NoError(t, err)
	assert.Equal(t, "what fills the spoon", spooned.Cost.Causes[0].Name)
	d := salt.Packing()
	assert.InEpsilon(t, 3*0.2365882365*d.Typical, spooned.Cost.Typical, 0.02)
	assert.InEpsilon(t, math.Exp(math.Hypot(math.Log(d.Tapped/d.Typical), 1.645*0.05)), spooned.Cost.High/spooned.Cost.Typical, 0.02)
}
