package recipe_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/internal/laws"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/solution/rust"
)

// A way of mixing comes out in a glass and in a cubic metre as in the tub, in
// proportion: doses, gas that leaves, what it takes and the acid that keeps it.
func TestWaysOfAllSizes(t *testing.T) {
	o := demo.Oxide(t, "lepidocrocite")
	of := func(litres float64) []recipe.Outcome {
		var ways []recipe.Recipe
		for _, place := range []bath.Place{{}, {Cover: bath.Still}} {
			acid := demo.Recipe(t)
			acid.Volume = unit.Volume(litres) * measure.Litre
			acid.Amount = measure.AmountOfMass(unit.Mass(25*litres) * measure.Gram)
			acid.Place = place
			soda := acid
			soda.Chelant, soda.Acid = demo.Reagent(t, "disodium EDTA dihydrate"), demo.Reagent(t, "washing soda")
			ways = append(ways, acid, soda)
		}
		out, err := ways[0].Try(demo.Tables(t), o, ways...)
		require.NoError(t, err)
		return out
	}
	tub := of(20)
	require.Less(t, tub[3].ForGoodGrams, 0.7*tub[3].NowGrams, "the gas of the soda leaves")
	for _, litres := range []float64{0.2, 1000} {
		laws.Extensive(t, tub, of(litres), litres/20, 1e-5, 1)
	}
}

// In an open tub a way takes what its bath takes once the gas has gone, mixed here by hand.
func TestWaysInTheOpenStandWithoutTheirGas(t *testing.T) {
	o := demo.Oxide(t, "lepidocrocite")
	for salt, setter := range map[string]string{"disodium EDTA dihydrate": "baking soda", "tetrasodium EDTA tetrahydrate": "citric acid"} {
		r := demo.Recipe(t)
		r.Chelant, r.Acid, r.Place.Cover = demo.Reagent(t, salt), demo.Reagent(t, setter), bath.Still
		ways, err := r.Try(demo.Tables(t), o)
		require.NoError(t, err)
		v, err := solution.New(demo.Tables(t), r.Temperature)
		require.NoError(t, err)
		require.NoError(t, v.AddWater(r.Water, r.Volume))
		require.NoError(t, v.Add(r.Chelant, 500*measure.Gram))
		require.NoError(t, v.Add(r.Acid, unit.Mass(ways[0].ForGoodGrams/1000)))
		b, err := bath.New(demo.Tables(t), v)
		require.NoError(t, err)
		litres, err := b.Degas()
		require.NoError(t, err)
		require.Positive(t, litres)
		st, err := b.State()
		require.NoError(t, err)
		require.InDelta(t, 7, st.PH, 1e-3)
		alone, pH, err := b.LeftAlone(o)
		require.NoError(t, err)
		require.InEpsilon(t, alone.RustGrams, ways[0].LeftAlone.RustGrams, 1e-6, setter)
		require.InDelta(t, pH, ways[0].EndPH, 1e-6, setter)
		outlook, err := r.Outlook(demo.Tables(t))
		require.NoError(t, err)
		light, layer, err := rust.Light(demo.Tables(t))
		require.NoError(t, err)
		pace, err := rust.NewPace(demo.Tables(t))
		require.NoError(t, err)
		time, err := pace.Time(b, rust.Dip{Rust: light, Layer: layer, Area: 0.005 * unit.Area(b.Litres()), Oxide: o, Held: true})
		require.NoError(t, err)
		require.InEpsilon(t, time.Hours.Typical, outlook.Light.Hours.Typical, 1e-6, setter)
	}
}

// What a bath lost it gets back in proportion, whatever went in besides; where nothing is missing
// that is said.
func TestTopUpOfAllThatWentIn(t *testing.T) {
	r := demo.Recipe(t)
	r.Extras = []recipe.Extra{{Reagent: demo.Reagent(t, "trisodium citrate"), Mass: 300 * measure.Gram}}
	b, err := r.Mix(demo.Tables(t))
	require.NoError(t, err)
	u, err := r.TopUp(demo.Tables(t), b.Volume()/10, 0)
	require.NoError(t, err)
	require.InEpsilon(t, 30, u.Extras[0].MassGrams, 1e-9)
	require.Contains(t, u.Text, " of Trisodium citrate dihydrate.")
	u, err = r.TopUp(demo.Tables(t), 0, 0)
	require.NoError(t, err)
	require.Equal(t, "Nothing is missing.", u.Text)
}

// Of what holds no chelant there are not as many moles.
func TestNoChelantToChange(t *testing.T) {
	_, err := recipe.Recipe{}.WithChelant(demo.Reagent(t, "disodium EDTA"))
	require.ErrorIs(t, err, chem.ErrInput)
	_, err = demo.Recipe(t).WithChelant(demo.Reagent(t, "lye"))
	require.ErrorIs(t, err, chem.ErrInput)
	require.Zero(t, bath.Oxide{}.Grams(1))
}
