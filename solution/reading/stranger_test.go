package reading

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
)

// A powder that is no salt of the chelant is known by the protons that its ligands hold, at one
// ionic strength and one activity of sodium. Its bath then has the pH that the solver finds, to a
// strip's error at worst, the acid that goes in taken as in a bath of the chelant.
func TestStrangersAgainstSolver(t *testing.T) {
	m := model(t, tub(t))
	acid, err := m.template(m.setter)
	require.NoError(t, err)
	sum, n := 0.0, 0.0
	for _, k := range m.strangers {
		for _, sour := range []float64{0, 30, 100, 300} {
			if k.powder == nil {
				continue
			}
			grams := 3 * 0.2366 * k.packing.Typical // three cups
			mix := acid.stirred(&mixture{strange: true, powders: [2]dose{{k.powder, grams * k.reagent.Assay.Typical}}}, sour)
			v, err := solution.New(standard(t), m.setup.Temperature)
			require.NoError(t, err)
			require.NoError(t, v.AddWater(m.setup.Water, m.setup.Volume))
			require.NoError(t, v.Add(k.reagent, unit.Mass(grams)*measure.Gram))
			require.NoError(t, v.Add(m.setter, unit.Mass(sour)*measure.Gram))
			st, err := v.Equilibrate()
			require.NoError(t, err)
			if st.PH < 2 || st.PH > 12 {
				continue
			}
			off := m.surface.pH(&mix) - st.PH
			sum, n = sum+off*off, n+1
			assert.InDelta(t, 0, off, 1, "%s with %g g of acid, at pH %.2f", k.reagent.Name, sour, st.PH)
		}
	}
	t.Logf("%.0f baths of %d strangers: rms %.3f", n, len(m.strangers), math.Sqrt(sum/n))
	assert.Less(t, math.Sqrt(sum/n), 0.25)
}

// A powder that fits the readings better than the label wins: a bath from a bag of "tetrasodium
// EDTA" that reads 8 at first and holds that pH against acid as baking soda does is something
// else.
func TestAnotherPowderIsFound(t *testing.T) {
	s := tub(t)
	s.Bag = tetrasodium(t)
	universal := strip(t, "universal strip")
	p := infer(t, model(t, s), Read{universal, 8}, Read{universal, 8}, Added{s.Acid, amount(t, "60 g")}, Read{universal, 7}, Added{s.Acid, amount(t, "60 g")}, Read{universal, 7}, Read{universal, 7})
	suspects := p.Suspects()
	require.NotEmpty(t, suspects)
	assert.Equal(t, "else", suspects[0].Doubt)
	soda := p.share(func(b *bath) bool { return b.salt.reagent.ID == "sodium-bicarbonate" })
	t.Logf("something else: %.2f, of it baking soda: %.2f", suspects[0].Chance, soda)
	assert.Greater(t, soda, suspects[0].Chance/2)
	assert.Contains(t, suspects[0].What, "most like Sodium bicarbonate")
}
