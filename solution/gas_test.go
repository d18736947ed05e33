package solution_test

import (
	"fmt"
	"log"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/tables"
)

// sour is the tool library's tap water with 500 g of an acid salt in 20 L.
func sour(t testing.TB, salt string) *solution.Solution {
	t.Helper()
	v, err := solution.New(demo.Tables(t), chem.Celsius(20))
	require.NoError(t, err)
	tap, err := demo.Tables(t).Water("moderately hard tap water")
	require.NoError(t, err)
	require.NoError(t, v.AddWater(tap, 20*measure.Litre))
	require.NoError(t, v.Add(demo.Reagent(t, salt), 500*measure.Gram))
	return v
}

// A vessel in balance with a pressure of carbon dioxide has that pressure, and pure
// water under the air of 1 atm of it pH 3.9: pK1 6.35 and Henry's 1.47 at 25 °C give
// (6.35 + 1.47)/2 (any text on natural waters).
func TestPressureOfCarbonDioxide(t *testing.T) {
	v, err := solution.New(demo.Tables(t), chem.Celsius(25))
	require.NoError(t, err)
	require.NoError(t, v.AddPureWater(measure.Litre))
	for _, p := range []float64{1e-4, 0.01, 1} {
		require.NoError(t, v.Open(p))
		got, err := v.PressureCO2()
		require.NoError(t, err)
		assert.InEpsilon(t, p, got, 1e-9)
	}
	st, err := v.Equilibrate()
	require.NoError(t, err)
	assert.InDelta(t, (6.35+1.47)/2, st.PH, 0.02)
	v.SetIdeal(true)
	got, err := v.PressureCO2()
	require.NoError(t, err)
	assert.InEpsilon(t, 1, got, 1e-9)
}

// What leaves a soda bath takes the carbonate along and no charge: nearly all of the
// carbonate that went in, 24.06 L for a mole at 20 °C (ideal gas, R T/p).
func TestGasLeaves(t *testing.T) {
	v := sour(t, "disodium EDTA")
	require.NoError(t, v.Add(demo.Reagent(t, "washing soda"), 127*measure.Gram))
	before, err := v.Amount("CO3^2-")
	require.NoError(t, err)
	protons, err := v.Amount("H+")
	require.NoError(t, err)
	litres, err := v.Degas()
	require.NoError(t, err)
	after, err := v.Amount("CO3^2-")
	require.NoError(t, err)
	left, err := v.Amount("H+")
	require.NoError(t, err)
	assert.InEpsilon(t, 24.06, litres/float64(before-after), 1e-3)
	assert.InDelta(t, 2*float64(before-after), float64(protons-left), 1e-12)
	p, err := v.PressureCO2()
	require.NoError(t, err)
	assert.InEpsilon(t, 7e-4, p, 1e-9, "the air of a room")
	again, err := v.Degas()
	require.NoError(t, err)
	assert.InDelta(t, 0, again, 1e-9)
}

// For good a mole of washing soda takes up two hydrogen ions, one of baking soda and
// one of lye one: the stoichiometry of CO3²⁻ + 2 H⁺ = H2O + CO2. All end at one pH in
// one air; what they bring of sodium and volume tells in the fourth figure.
func TestForGoodCountsHydrogenIons(t *testing.T) {
	for _, salt := range []string{"disodium EDTA", "EDTA acid"} {
		taken := map[string]float64{}
		for name, per := range map[string]float64{"washing soda": 2, "baking soda": 1, "lye": 1} {
			r := demo.Reagent(t, name)
			x, err := sour(t, salt).OpenDose(r, 7)
			require.NoError(t, err)
			taken[name] = per * x.ForGoodGrams * r.MolPerGram().Typical
			assert.Less(t, x.StartPH, 7.0)
			assert.Greater(t, x.NowGrams, x.ForGoodGrams)
			assert.Greater(t, x.NowEndPH, 7.0)
		}
		assert.InEpsilon(t, taken["lye"], taken["washing soda"], 0.015)
		assert.InEpsilon(t, taken["lye"], taken["baking soda"], 0.015)
	}
}

// The two doses do what they are said to do: poured in at once where nothing fizzes,
// the one ends at the target in a closed vessel, the other in an open one.
func TestOpenDoseHitsItsTarget(t *testing.T) {
	soda := demo.Reagent(t, "washing soda")
	x, err := sour(t, "disodium EDTA").OpenDose(soda, 7)
	require.NoError(t, err)
	require.Zero(t, x.FizzLitres, "washing soda in a thin bath of the disodium salt stays below 1 atm")
	for _, c := range []struct{ grams, now, end float64 }{{x.NowGrams, 7, x.NowEndPH}, {x.ForGoodGrams, x.StartPH, 7}} {
		v := sour(t, "disodium EDTA")
		require.NoError(t, v.Add(soda, unit.Mass(c.grams/1000)))
		st, err := v.Equilibrate()
		require.NoError(t, err)
		assert.InDelta(t, c.now, st.PH, 1e-6)
		_, err = v.Degas()
		require.NoError(t, err)
		st, err = v.Equilibrate()
		require.NoError(t, err)
		assert.InDelta(t, c.end, st.PH, 1e-6)
	}
}

// However fine the portions in which it goes in, each fizzing before the next, the dose for
// now ends at its target, for soda that brings sour chelant up and acid that brings soda down.
func TestDoseForNowFizzes(t *testing.T) {
	for _, c := range []struct {
		salt, first, dose string
		grams, pH         float64 // of the first; the target
	}{
		{"EDTA acid", "", "washing soda", 0, 7}, {"EDTA acid", "", "baking soda", 0, 7},
		{"disodium EDTA", "washing soda", "citric acid", 600, 6.5},
	} {
		v := sour(t, c.salt)
		if c.first != "" {
			_, err := v.AddFizzing(demo.Reagent(t, c.first), unit.Mass(c.grams/1000))
			require.NoError(t, err)
		}
		r := demo.Reagent(t, c.dose)
		x, err := v.OpenDose(r, c.pH)
		require.NoError(t, err)
		require.Greater(t, x.NowFizzLitres, 10.0, c)
		for _, n := range []int{8, 50} {
			poured, litres := v.Clone(), 0.0
			for range n {
				require.NoError(t, poured.Add(r, unit.Mass(x.NowGrams/1000/float64(n))))
				out, err := poured.Fizz()
				require.NoError(t, err)
				litres += out
			}
			st, err := poured.Equilibrate()
			require.NoError(t, err)
			assert.InDelta(t, c.pH, st.PH, 0.01, "%v in %d portions", c, n)
			assert.InEpsilon(t, x.NowFizzLitres, litres, 0.01, "%v in %d portions", c, n)
		}
	}
}

// Without carbonate there is nothing to wait for, and a bath that climbs past the
// target by itself needs no base.
func TestOpenDoseWithoutCarbonate(t *testing.T) {
	lye := demo.Reagent(t, "lye")
	v, err := solution.New(demo.Tables(t), chem.Celsius(20))
	require.NoError(t, err)
	require.NoError(t, v.AddPureWater(20*measure.Litre))
	require.NoError(t, v.Add(demo.Reagent(t, "citric acid"), 100*measure.Gram))
	x, err := v.OpenDose(lye, 5)
	require.NoError(t, err)
	assert.InEpsilon(t, x.ForGoodGrams, x.NowGrams, 1e-3)
	assert.InDelta(t, 5, x.StartPH, 1e-3)
	assert.InDelta(t, 5, x.NowEndPH, 1e-3)

	soda := sour(t, "disodium EDTA")
	require.NoError(t, soda.Add(demo.Reagent(t, "baking soda"), 300*measure.Gram))
	_, err = soda.OpenDose(lye, 7)
	assert.ErrorIs(t, err, solution.ErrUnreachable)
	var bad *chem.InputError
	_, err = soda.OpenDose(tables.Reagent{}, 7)
	assert.ErrorAs(t, err, &bad)
	_, err = (&solution.Solution{}).OpenDose(lye, 7)
	assert.ErrorAs(t, err, &bad)
}

// 500 g of EDTA acid in 20 L is brought to pH 7 with baking soda: most of the gas
// fizzes out at once, the rest leaves over days.
func ExampleSolution_OpenDose() {
	_, t, _ := demo.Library()
	acid, _ := t.Reagent("EDTA acid")
	soda, _ := t.Reagent("baking soda")
	v, err := solution.New(t, chem.Celsius(20))
	if err != nil {
		log.Fatal(err)
	}
	if err := v.AddPureWater(20 * measure.Litre); err != nil {
		log.Fatal(err)
	}
	if err := v.Add(acid, 500*measure.Gram); err != nil {
		log.Fatal(err)
	}
	x, err := v.OpenDose(soda, 7)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.0f g; pH %.1f at first, 7 for good; %.0f L of gas fizz out of %.0f\n", x.ForGoodGrams, x.StartPH, x.FizzLitres, x.GasLitres)
	fmt.Printf("%.0f g would show pH 7 today and end at %.1f\n", x.NowGrams, x.NowEndPH)
	// Output:
	// 411 g; pH 6.2 at first, 7 for good; 83 L of gas fizz out of 117
	// 799 g would show pH 7 today and end at 9.6
}
