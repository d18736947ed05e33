package reading_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/reading"
)

// Soda in an open tub goes by the pH that it ends at: what is needed, what would show it
// today and what is waited for agree with the vessel's own doses (solution.OpenDose).
func TestSodaInTheOpen(t *testing.T) {
	r, std := demo.Recipe(t), demo.Tables(t)
	meter, err := std.Strip("pH meter")
	require.NoError(t, err)
	salt := demo.Reagent(t, "disodium EDTA")
	v, err := solution.New(std, chem.Celsius(20))
	require.NoError(t, err)
	require.NoError(t, v.AddWater(r.Water, 20*measure.Litre))
	require.NoError(t, v.Add(salt, 500*measure.Gram))
	for _, name := range []string{"washing soda", "baking soda"} {
		soda := demo.Reagent(t, name)
		dose, err := v.OpenDose(soda, 7)
		require.NoError(t, err)
		s := reading.Setup{
			Water: r.Water, Volume: 20 * measure.Litre, Temperature: chem.Celsius(20), Bag: []reading.Candidate{{Salt: salt, Weight: 1}},
			Amount: measure.AmountOfMass(500 * measure.Gram), Acid: demo.Reagent(t, "citric acid"), Base: soda, Open: true,
		}
		infer := func(events ...reading.Event) *reading.Posterior {
			m, err := reading.New(std, s)
			require.NoError(t, err)
			p, err := m.Infer(events)
			require.NoError(t, err)
			return p
		}
		read := func(pH float64) reading.Read { return reading.Read{Strip: meter, Value: pH} }
		p := infer(read(4.6))
		a, err := p.Advise()
		require.NoError(t, err)
		require.Equal(t, reading.Add, a.Action)
		assert.InEpsilon(t, dose.ForGoodGrams, a.NeedGrams.Typical, 0.12, name)
		assert.Contains(t, a.Why, "do not add until it shows today")
		remedies, err := p.Remedies()
		require.NoError(t, err)
		for _, x := range remedies {
			if x.Reagent == soda.Name {
				assert.InEpsilon(t, dose.ForGoodGrams, x.MassGrams.Typical, 0.12, name)
				assert.Equal(t, x.ForGoodGrams, x.MassGrams.Typical)
				assert.InEpsilon(t, dose.GasLitres*x.MassGrams.Typical/dose.ForGoodGrams, x.GasLitres, 0.03, name)
				assert.Contains(t, x.Note, "as gas leaves: "+measure.FormatLitres(x.GasLitres)+" of it in all")
				assert.InEpsilon(t, dose.NowGrams, x.NowGrams, 0.12, name)
			}
		}
		// With the dose for good in, one waits; the same tub under a lid wants more.
		in := reading.Added{Reagent: soda, Amount: measure.AmountOfMass(72 * measure.Gram)}
		if name == "washing soda" {
			a, err = infer(read(4.6), in, read(6.4)).Advise()
			require.NoError(t, err)
			assert.Equal(t, reading.Look, a.Action)
			assert.Contains(t, a.Why, "by itself")
			in.Amount = measure.AmountOfMass(127 * measure.Gram)
			a, err = infer(read(4.6), in, read(7)).Advise()
			require.NoError(t, err)
			require.Len(t, a.Flags, 1)
			assert.Contains(t, a.Flags[0], "carbon dioxide")
			s.Open = false
			a, err = infer(read(4.6)).Advise()
			require.NoError(t, err)
			assert.InEpsilon(t, dose.NowGrams, a.NeedGrams.Typical, 0.12)
		}
	}
}

// Acid in an open tub goes by the pH that it ends at, too: water of 300 mg/L of alkalinity
// gives off its carbon dioxide, and the acid for that is what the vessel's own doses differ by.
func TestAcidInTheOpen(t *testing.T) {
	r, std := demo.Recipe(t), demo.Tables(t)
	meter, err := std.Strip("pH meter")
	require.NoError(t, err)
	water := r.Water.Times(4)
	v, err := solution.New(std, chem.Celsius(20))
	require.NoError(t, err)
	require.NoError(t, v.AddWater(water, 20*measure.Litre))
	require.NoError(t, v.Add(r.Chelant, 500*measure.Gram))
	st, err := v.Equilibrate()
	require.NoError(t, err)
	for _, pH := range []float64{6.5, 7, 7.5} {
		dose, err := v.OpenDose(r.Acid, pH)
		require.NoError(t, err)
		need := func(open bool) float64 {
			m, err := reading.New(std, reading.Setup{
				Water: water, Volume: 20 * measure.Litre, Temperature: chem.Celsius(20), Bag: []reading.Candidate{{Salt: r.Chelant, Weight: 1}},
				Amount: measure.AmountOfMass(500 * measure.Gram), Acid: r.Acid, Open: open, PH: pH,
			})
			require.NoError(t, err)
			p, err := m.Infer([]reading.Event{reading.Read{Strip: meter, Value: st.PH}})
			require.NoError(t, err)
			a, err := p.Advise()
			require.NoError(t, err)
			return a.NeedGrams.Typical
		}
		require.InEpsilon(t, dose.ForGoodGrams-dose.NowGrams, need(true)-need(false), 0.1, "pH %g", pH)
	}
}
