package reading

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
)

// The surface stands in for the solver. Its error must be small beside that of a
// reading: a pocket meter is off by 0.1 one time in ten, a strip by a unit.
func TestSurfaceAgainstSolver(t *testing.T) {
	vary := func(change func(*Setup)) Setup {
		s := tub(t)
		change(&s)
		return s
	}
	for name, setup := range map[string]Setup{
		"tub": tub(t),
		"one part in a hundred, distilled water": vary(func(s *Setup) {
			s.Water, s.Volume, s.Amount = water(t, "distilled water"), 1e-3, amount(t, "10 g")
		}),
		"very hard water, weak bath": vary(func(s *Setup) { s.Water, s.Amount = water(t, "very hard tap water"), amount(t, "1 cup") }),
		"strong and warm":            vary(func(s *Setup) { s.Amount, s.Temperature = amount(t, "2 kg"), chem.Celsius(40) }),
		"muriatic acid":              vary(func(s *Setup) { s.Acid = reagent(t, "muriatic acid") }),
		"vinegar":                    vary(func(s *Setup) { s.Acid = reagent(t, "vinegar") }),
	} {
		t.Run(name, func(t *testing.T) {
			m := model(t, setup)
			acid, err := m.template(m.setter)
			require.NoError(t, err)
			made := m.basis.makeup(m.setter)
			perGram := made.equivalents()
			random := rand.New(rand.NewPCG(1, 2))
			worst, sum, n := 0.0, 0.0, 0
			for seed := range uint64(30) {
				d := draw(t, m, seed)
				for range 8 {
					if want := d.pH(); want > 4 {
						off := m.surface.pH(&d.mix) - want
						worst, sum, n = max(worst, math.Abs(off)), sum+off*off, n+1
					}
					d.add(&acid, random.Float64()*0.4*d.mix.chelant/perGram)
				}
			}
			rms := math.Sqrt(sum / float64(n))
			t.Logf("%d states above pH 4: rms %.4f, worst %.4f", n, rms, worst)
			assert.Less(t, rms, 0.02)
			assert.Less(t, worst, 0.1)
		})
	}
}

// Bases come in to first order; a dose of them is checked the same way, what fizzes gone.
func TestBasesAgainstSolver(t *testing.T) {
	m := model(t, tub(t))
	acid, err := m.template(m.setter)
	require.NoError(t, err)
	for _, name := range []string{"washing soda", "baking soda", "lye", "tetrasodium EDTA"} {
		p, err := m.template(reagent(t, name))
		require.NoError(t, err)
		for seed := range uint64(20) {
			d := draw(t, m, seed)
			sour, reached := m.surface.need(&d.mix, &acid, -1, 5.5)
			if !reached || sour < 0 {
				continue
			}
			d.add(&acid, sour)
			grams, reached := m.surface.need(&d.mix, &p, 1, 7)
			if !reached {
				continue
			}
			d.add(&p, grams)
			_, err := d.vessel.Fizz()
			require.NoError(t, err)
			assert.InDelta(t, 7, d.pH(), 0.1, "%s, bath %d, %.3g g", name, seed, grams)
		}
	}
}
