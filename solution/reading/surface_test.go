package reading

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

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
			m, err := New(standard(t), setup)
			require.NoError(t, err)
			acid := m.setup.Acid
			random := rand.New(rand.NewPCG(1, 2))
			worst, sum, n := 0.0, 0.0, 0
			for seed := range uint64(30) {
				trial, err := m.Trial(seed)
				require.NoError(t, err)
				trial.shift = 0
				mix := mixture{
					edta:  trial.edta,
					base:  trial.edta * (newSalt(trial.Salt).base + trial.Salt.ExcessBase.Typical),
					water: math.Exp(m.water*trial.z[ofWater]) - 1,
				}
				for range 8 {
					want, err := trial.PH()
					require.NoError(t, err)
					if want > 4 {
						d := m.surface.pH(&mix) - want
						worst, sum, n = max(worst, math.Abs(d)), sum+d*d, n+1
					}
					grams := random.Float64() * 0.4 * trial.edta / protonsPerGram(acid)
					require.NoError(t, trial.vessel.Add(acid, unit.Mass(grams/1000)))
					mix.acid += grams
				}
			}
			rms := math.Sqrt(sum / float64(n))
			t.Logf("%d states above pH 4: rms %.4f, worst %.4f", n, rms, worst)
			assert.Less(t, rms, 0.02)
			assert.Less(t, worst, 0.1)
		})
	}
}

// Bases come in to first order; a dose of them is checked the same way.
func TestBasesAgainstSolver(t *testing.T) {
	m, err := New(standard(t), tub(t))
	require.NoError(t, err)
	for _, x := range remedies {
		r := reagent(t, x.id)
		p, err := m.template(r)
		require.NoError(t, err)
		for seed := range uint64(20) {
			trial, err := m.Trial(seed)
			require.NoError(t, err)
			trial.shift = 0
			mix := mixture{
				edta:  trial.edta,
				base:  trial.edta * (newSalt(trial.Salt).base + trial.Salt.ExcessBase.Typical),
				water: math.Exp(m.water*trial.z[ofWater]) - 1,
			}
			acid := m.surface.need(&mix, &portion{of: fromAcid, reagent: m.acid}, -1, 5.5)
			if acid < 0 {
				continue
			}
			require.NoError(t, trial.vessel.Add(m.acid, unit.Mass(acid/1000)))
			mix.acid = acid
			grams := m.surface.need(&mix, &p, 1, 7)
			if math.IsInf(grams, 0) {
				continue
			}
			require.NoError(t, trial.vessel.Add(r, unit.Mass(grams/1000)))
			got, err := trial.PH()
			require.NoError(t, err)
			assert.InDelta(t, 7, got, 0.1, "%s, trial %d, %.3g g", r.Name, seed, grams)
		}
	}
}
