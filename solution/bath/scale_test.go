package bath_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/internal/laws"
	"example.com/chelation/tables"
)

// A shot of a bath and a cubic metre of it answer as 20 litres do, in proportion: what
// it can still take, with the ranges, what is wrong with it and what to add, how far it
// drifts, what it wants for upkeep, whether it holds rust, is sour, or neither.
func TestBathsOfAllSizes(t *testing.T) {
	o, stubborn := demo.Oxide(t, "lepidocrocite"), demo.Oxide(t, "goethite")
	atHand := []tables.Reagent{demo.Reagent(t, "citric acid"), demo.Reagent(t, "washing soda")}
	of := func(litres float64) map[string]*bath.Bath {
		r := demo.Recipe(t)
		r.Volume = unit.Volume(litres) * measure.Litre
		r.Amount = measure.AmountOfMass(unit.Mass(25*litres) * measure.Gram)
		used, sour, limed := demo.Mix(t, r), demo.Mix(t, r), demo.Mix(t, r)
		require.NoError(t, used.Dissolve(o, unit.Mass(1.5*litres)*measure.Gram))
		require.NoError(t, sour.Add(demo.Reagent(t, "citric acid"), unit.Mass(20*litres)*measure.Gram))
		for ion, n := range map[string]float64{"Ca2+": 0.05, "Cl-": 0.05, "OH-": 0.05} {
			require.NoError(t, limed.AddSpecies(ion, unit.Mole(n*litres)))
		}
		return map[string]*bath.Bath{"fresh": demo.Mix(t, r), "used": used, "sour": sour, "limed": limed}
	}
	tub := of(20)
	for _, litres := range []float64{0.05, 1000} {
		for name, other := range of(litres) {
			one, times := tub[name], litres/20
			same := func(ask func(b *bath.Bath) (any, error)) {
				x, err := ask(one)
				require.NoError(t, err)
				y, err := ask(other)
				require.NoError(t, err)
				laws.Extensive(t, x, y, times, 1e-6, 1)
			}
			same(func(b *bath.Bath) (any, error) { return b.Capacities(o, 7) })
			same(func(b *bath.Bath) (any, error) { return b.Diagnose(o, 7, atHand...) })
			same(func(b *bath.Bath) (any, error) { return b.Drift(o, 4) })
			same(func(b *bath.Bath) (any, error) {
				g, err := b.SteelAtRisk()
				return map[string]float64{"steel_g": g}, err
			})
			if name != "sour" {
				same(func(b *bath.Bath) (any, error) { return b.Upkeep(atHand[0], o, 7, 0.5) })
				same(func(b *bath.Bath) (any, error) { return b.Upkeep(atHand[0], stubborn, 8, 0.5) })
			}
			d, err := other.Diagnose(o, 7, atHand...)
			require.NoError(t, err)
			require.Equal(t, name == "limed", d.Cause == bath.Starved, name)
			if name == "sour" {
				steel, err := other.SteelAtRisk()
				require.NoError(t, err)
				assert.Equal(t, bath.Soured, d.Cause)
				assert.Contains(t, d.Text, "up to "+measure.FormatGrams(steel)+" of it", "of a cup, too")
			}
		}
	}
}
