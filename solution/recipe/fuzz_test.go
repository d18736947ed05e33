package recipe_test

import (
	"encoding/json"
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/recipe"
)

// Whatever numbers and words a recipe is made of, it gets a plan of finite figures, or
// an error that says what was wanted. A bath that no acid brings to its pH is one.
func FuzzRecipe(f *testing.F) {
	f.Add(20.0, 293.15, "500 g", "edta-tetrasodium-tetrahydrate", "citric-acid", 7.0)
	f.Add(1e-3, 273.15, "2 tbsp", "edta-disodium", "vinegar", 9.5)
	f.Add(1e9, 400.0, "1 lb", "edta-acid", "lye", 1.0)
	f.Add(math.Inf(1), math.NaN(), "0 g", "citric-acid", "water", -3.0)
	f.Fuzz(func(t *testing.T, litres, kelvin float64, amount, chelant, acid string, pH float64) {
		r := demo.Recipe(t)
		r.Volume, r.Temperature, r.PH = unit.Volume(litres)*measure.Litre, unit.Temperature(kelvin), pH
		var err error
		if r.Amount, err = measure.ParseAmount(amount); err != nil {
			return
		}
		if r.Chelant, err = demo.Tables(t).Reagent(chelant); err != nil {
			return
		}
		if r.Acid, err = demo.Tables(t).Reagent(acid); err != nil {
			return
		}
		p, err := r.Plan(demo.Tables(t))
		if err != nil {
			require.True(t, errors.Is(err, chem.ErrInput) || errors.Is(err, solution.ErrUnreachable), "%v", err)
			return
		}
		for _, x := range []float64{p.PHAfter, p.PHBefore.Typical, p.Acid.MassGrams, p.BathLitres, p.StrengthMolPerLitre} {
			require.False(t, math.IsNaN(x) || math.IsInf(x, 0))
		}
		require.GreaterOrEqual(t, p.Acid.MassGrams, 0.0)
		_, err = json.Marshal(p)
		require.NoError(t, err)
	})
}

// What is read as a plan is written as it was read.
func FuzzPlanJSON(f *testing.F) {
	r := demo.Recipe(f)
	p, err := r.Plan(demo.Tables(f))
	require.NoError(f, err)
	text, err := json.Marshal(p)
	require.NoError(f, err)
	f.Add(text)
	f.Add([]byte(`{"acid": {"mass_g": 1e308}, "steps": [{}], "ph_before": null}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		var one, two recipe.Plan
		if json.Unmarshal(text, &one) != nil {
			return
		}
		written, err := json.Marshal(one)
		require.NoError(t, err)
		require.NoError(t, json.Unmarshal(written, &two))
		again, err := json.Marshal(two)
		require.NoError(t, err)
		require.JSONEq(t, string(written), string(again))
	})
}
