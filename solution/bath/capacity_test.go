package bath_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/recipe"
)

// Left at the pH of its salt the bath dissolves next to nothing of aged rust and half
// of what it could hold of the freshest: the question why pH 11 does not clean.
func TestUnadjustedBathTakesNextToNothing(t *testing.T) {
	b := demo.Pure(t, demo.Tables(t), 0.03, 0, "")
	for _, tc := range []struct {
		oxide string
		most  float64 // iron per EDTA
	}{{"ferrihydrite", 0.5}, {"lepidocrocite", 0.1}, {"goethite", 0.02}} {
		c, err := b.Capacities(demo.Oxide(t, tc.oxide), 7)
		require.NoError(t, err)
		require.Less(t, c.Proton.IronMoles/0.03, tc.most, tc.oxide)
		// The same bath held at pH 7 fills its chelant.
		require.InDelta(t, 1, c.Equilibrium.IronMoles/0.03, 0.03, tc.oxide)
	}
}

// Capacity rules of the trade and of arithmetic.
func TestCapacityRules(t *testing.T) {
	// Field notes on boiler cleaning: 5.23 parts of acid form for one of iron.
	acid := demo.Reagent(t, "EDTA acid")
	require.InDelta(t, 5.23, acid.Formula.MolarMass()/55.845, 0.005)
	// 6.81 g Na4(edta), 8.10 g of its tetrahydrate, 6.67 g of the disodium
	// dihydrate for a gram of iron: arithmetic.
	for name, grams := range map[string]float64{
		"tetrasodium EDTA anhydrous": 6.81, "tetrasodium EDTA tetrahydrate": 8.10, "disodium EDTA dihydrate": 6.67,
	} {
		r := demo.Reagent(t, name)
		r.Assay.Typical = 1
		batch, err := recipe.Bag(r, 1, 0.1)
		require.NoError(t, err)
		require.InDelta(t, grams, 1000/batch.Capacity.IronGrams, 0.005, name)
		// 0.1 mol/L holds 5.58 g of iron in a litre: definition.
		require.InDelta(t, 5.58, batch.Capacity.IronGrams/batch.BathLitres, 0.005, name)
	}
	// 1 % of the acid form holds 1.91 kg of iron in a cubic metre: 10 / 5.23.
	b := demo.Pure(t, demo.Tables(t), 10/acid.Formula.MolarMass(), 7, "muriatic acid")
	c, err := b.Capacities(demo.Oxide(t, "lepidocrocite"), 7)
	require.NoError(t, err)
	require.InDelta(t, 1.91, c.Chelant.IronGrams, 0.005)
	require.InDelta(t, 1.91, c.Equilibrium.IronGrams, 0.03)
	// Mass of FeO(OH) for a gram of iron, 1.591: arithmetic.
	require.InDelta(t, 1.5910, c.Chelant.RustGrams/c.Chelant.IronGrams, 0.0006)
	require.InDelta(t, 1.5910, demo.Oxide(t, "goethite").Grams(1)/bath.IronMolarMass, 0.0006)
	require.InDelta(t, 1.4297, demo.Oxide(t, "hematite").Grams(1)/bath.IronMolarMass, 0.0006)
	require.InDelta(t, 1.3820, demo.Oxide(t, "magnetite").Grams(1)/bath.IronMolarMass, 0.0006)
}

// The four numbers keep their order, whatever the bath.
func TestCapacitiesInRandomBaths(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 2))
	oxides := []string{"ferrihydrite", "lepidocrocite", "goethite", "hematite", "magnetite", "maghemite"}
	waters := []string{"rain water", "soft tap water", "moderately hard tap water", "hard tap water"}
	for range 60 {
		x := demo.Recipe(t)
		w, err := demo.Tables(t).Water(waters[r.IntN(len(waters))])
		require.NoError(t, err)
		x.Water = w
		x.Amount = measure.AmountOfMass(unit.Mass(0.05 + r.Float64()))
		x.PH = 4.5 + 5*r.Float64()
		b := demo.Mix(t, x)
		o := demo.Oxide(t, oxides[r.IntN(len(oxides))])
		require.NoError(t, b.Dissolve(demo.Oxide(t, "ferrihydrite"), unit.Mass(150*r.Float64())*measure.Gram))
		c, err := b.Capacities(o, 4+7*r.Float64())
		require.NoError(t, err)
		for name, y := range map[string]bath.Capacity{"chelant": c.Chelant, "stoichiometric": c.Stoichiometric, "equilibrium": c.Equilibrium, "proton": c.Proton, "practical": c.Practical} {
			require.GreaterOrEqual(t, y.IronMoles, 0.0, name)
			require.InDelta(t, y.IronMoles*55.845, y.IronGrams, 1e-9, name)
		}
		require.LessOrEqual(t, c.Chelant.IronMoles, c.Stoichiometric.IronMoles)
		require.LessOrEqual(t, c.ProtonLow.IronMoles, c.Proton.IronMoles*(1+1e-6))
		require.LessOrEqual(t, c.Proton.IronMoles, c.ProtonHigh.IronMoles*(1+1e-6))
		require.LessOrEqual(t, c.Practical.IronMoles, bath.PracticalShare*min(c.Stoichiometric.IronMoles, c.Equilibrium.IronMoles)+1e-12)
		for _, h := range c.Chelants {
			require.InDelta(t, h.TotalMoles, h.HardnessMoles+h.IronMoles+h.OthersMoles+h.SettledMoles+h.FreeMoles, 1e-9*h.TotalMoles, h.Chelant)
		}
	}
}
