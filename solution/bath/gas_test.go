package bath_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/tables"
)

// plainTub is a tub of tap water with reagents in it, by mass in g.
func plainTub(t testing.TB, p bath.Place, grams map[string]float64) *bath.Bath {
	t.Helper()
	v, err := solution.New(demo.Tables(t), chem.Celsius(20))
	require.NoError(t, err)
	tap, err := demo.Tables(t).Water("moderately hard tap water")
	require.NoError(t, err)
	require.NoError(t, v.AddWater(tap, 20*measure.Litre))
	for name, g := range grams {
		require.NoError(t, v.Add(demo.Reagent(t, name), unit.Mass(g/1000)))
	}
	b, err := bath.New(demo.Tables(t), v)
	require.NoError(t, err)
	require.NoError(t, b.Stand(p))
	return b
}

// A dose of soda tells when it arrives, later in a stiller tub, never under a lid; and
// the course of the bath with that dose in it is there then.
func TestDoseInTheOpen(t *testing.T) {
	soda := demo.Reagent(t, "washing soda")
	days := map[bath.Cover]tables.Range{}
	for _, cover := range []bath.Cover{bath.Lidded, bath.Still, bath.Stirred} {
		b := plainTub(t, bath.Place{Cover: cover}, map[string]float64{"disodium EDTA": 500})
		d, err := b.OpenDose(soda, 7)
		require.NoError(t, err)
		days[cover] = d.DaysTo
		assert.Contains(t, d.Text, "Doses for pH 7.0: now 128 g, for good 72 g, advised ")
		if cover == bath.Lidded {
			assert.Zero(t, d.DaysTo)
			assert.Equal(t, d.NowGrams, d.AdvisedGrams)
			continue
		}
		assert.Equal(t, d.ForGoodGrams, d.AdvisedGrams)
		assert.Less(t, d.DaysTo.Low, d.DaysTo.Typical)
		assert.Less(t, d.DaysTo.Typical, d.DaysTo.High)
		require.NoError(t, b.Add(soda, unit.Mass(d.ForGoodGrams/1000)))
		h, err := b.Pass(bath.Parts{}, unit.Time(d.DaysTo.Typical)*measure.Day)
		require.NoError(t, err)
		assert.InDelta(t, 6.9, h.PH.Typical, 0.01)
	}
	assert.InEpsilon(t, days[bath.Still].Typical/5, days[bath.Stirred].Typical, 0.1, "five times the velocity")
	lye, err := plainTub(t, bath.Place{Cover: bath.Still}, map[string]float64{"disodium EDTA": 500}).OpenDose(demo.Reagent(t, "lye"), 7)
	require.NoError(t, err)
	assert.Zero(t, lye.DaysTo)
	assert.NotContains(t, lye.Text, "carbon dioxide")
}

// Under a lid the dose for now is advised, and what is told of gas is of that dose: by hand
// the carbonate that went in, less what agrees with the air, at 24.06 L/mol (the gas law at
// 20 °C and 1 atm). A dose that no reasonable amount brings about today is told as none.
func TestDoseUnderALid(t *testing.T) {
	for _, x := range []struct {
		salt, soda string
		pH         float64
	}{{"disodium EDTA", "baking soda", 7.5}, {"disodium EDTA", "washing soda", 7}, {"EDTA acid", "washing soda", 7}} {
		soda, shut := demo.Reagent(t, x.soda), plainTub(t, bath.Place{}, map[string]float64{x.salt: 500})
		d, err := shut.OpenDose(soda, x.pH)
		require.NoError(t, err)
		require.NoError(t, shut.Add(soda, unit.Mass(d.AdvisedGrams/1000)))
		before := amounts(t, shut, "CO3^2-")[0]
		assert.InDelta(t, d.NowEndPH, airedPH(t, shut), 0.02, x)
		_, err = shut.Degas()
		require.NoError(t, err)
		assert.InEpsilon(t, 24.06*(before-amounts(t, shut, "CO3^2-")[0]), d.GasLitres, 2e-3, x)
		assert.NotContains(t, d.Text, "pH goes to 0.0")
	}
	d, err := plainTub(t, bath.Place{Cover: bath.Still}, map[string]float64{"disodium EDTA": 500}).OpenDose(demo.Reagent(t, "baking soda"), 7.5)
	require.NoError(t, err)
	assert.Contains(t, d.Text, "Doses for pH 7.5: now none, for good 108 g, advised 108 g.")
	assert.NotContains(t, d.Text, "0.0")
}

// airedPH is that of a bath in balance with the air of a room.
func airedPH(t testing.TB, b *bath.Bath) float64 {
	t.Helper()
	v := b.Solution.Clone()
	_, err := v.Degas()
	require.NoError(t, err)
	st, err := v.Equilibrate()
	require.NoError(t, err)
	return st.PH
}

// Gas leaving lifts a soda bath from the closed pH to the aired one, and nowhere else.
func TestAiredPH(t *testing.T) {
	b := plainTub(t, bath.Place{Cover: bath.Still}, map[string]float64{"disodium EDTA": 500, "washing soda": 127})
	closed := state(t, b).PH
	aired := airedPH(t, b)
	assert.InDelta(t, 7, closed, 0.02)
	assert.InDelta(t, 9, aired, 0.1)
	h, err := b.Pass(bath.Parts{}, 48*measure.Hour)
	require.NoError(t, err)
	assert.Greater(t, h.PH.Typical, closed)
	assert.Less(t, h.PH.Typical, aired)
}

// A tub's velocity is found again from what its tap water, or a soda bath read twice by a
// meter that is off, shows; readings that fit no still tub say so.
func TestLearnVelocity(t *testing.T) {
	for name, grams := range map[string]map[string]float64{"tap water": nil, "soda bath": {"disodium EDTA": 500, "washing soda": 71}} {
		truth := 1.6 // cm/h
		own := plainTub(t, bath.Place{Cover: bath.Still, GasCmPerHour: tables.Range{Low: truth, Typical: truth, High: truth}}, grams)
		start := state(t, own).PH
		var read []bath.GasReading
		const off = 0.15
		read = append(read, bath.GasReading{Hours: 0, PH: start + off, Tolerance: 0.03})
		for _, hours := range []float64{24, 48} {
			h, err := own.Pass(bath.Parts{}, 24*measure.Hour)
			require.NoError(t, err)
			read = append(read, bath.GasReading{Hours: hours, PH: h.PH.Typical + off, Tolerance: 0.03})
		}
		b := plainTub(t, bath.Place{Cover: bath.Still}, grams)
		before, err := b.Exchange()
		require.NoError(t, err)
		p, fits, err := b.Learn(read...)
		require.NoError(t, err)
		assert.True(t, fits, name)
		assert.Less(t, p.GasCmPerHour.Low, truth, name)
		assert.Greater(t, p.GasCmPerHour.High, truth, name)
		assert.Less(t, math.Log(p.GasCmPerHour.High/p.GasCmPerHour.Low), 0.5*math.Log(before.GasCmPerHour.High/before.GasCmPerHour.Low), name)
		require.NoError(t, b.Stand(p), "what was learned can be stood in")

		_, fits, err = b.Learn(bath.GasReading{Hours: 24, PH: start - 1.5, Tolerance: 0.03}, bath.GasReading{Hours: 48, PH: start + 2, Tolerance: 0.03})
		require.NoError(t, err)
		assert.False(t, fits, name)
	}
	var bad *chem.InputError
	_, _, err := plainTub(t, bath.Place{}, nil).Learn(bath.GasReading{Hours: 1, PH: 7, Tolerance: 0.1})
	assert.ErrorAs(t, err, &bad)
	open := plainTub(t, bath.Place{Cover: bath.Still}, nil)
	for _, wrong := range [][]bath.GasReading{nil, {{PH: 7, Tolerance: 0.1}}, {{Hours: 1, PH: 7}}, {{Hours: 2, PH: 7, Tolerance: 0.1}, {Hours: 1, PH: 7, Tolerance: 0.1}}} {
		_, _, err = open.Learn(wrong...)
		assert.ErrorAs(t, err, &bad)
	}
}

// 500 g of disodium EDTA in 20 L of tap water, left open and still.
func ExampleBath_OpenDose() {
	r, t, _ := demo.Library()
	soda, _ := t.Reagent("washing soda")
	v, _ := solution.New(t, chem.Celsius(20))
	_ = v.AddWater(r.Water, 20*measure.Litre)
	salt, _ := t.Reagent("disodium EDTA")
	_ = v.Add(salt, 500*measure.Gram)
	tub, err := bath.New(t, v)
	check(err)
	check(tub.Stand(bath.Place{Cover: bath.Still}))
	d, err := tub.OpenDose(soda, 7)
	check(err)
	fmt.Println(d.Text)
	// Output:
	// 72 g (about 1/4 level cup + 1 tablespoon) of Sodium carbonate monohydrate. Doses for pH 7.0: now 128 g, for good 72 g, advised 72 g. The pH starts at 6.4 and comes to 7.0 in 8.5 days (4.3 to 28) as 14.5 L of carbon dioxide leave; what shows it today ends near 9.0. If it has to be 7.0 today, stir and wait; do not add.
}
