package titration_test

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/titration"
	"example.com/chelation/tables"
)

// The two standard titrations of a fill water give back the hardness and the
// alkalinity on its label: the balances exactly, and what an analyst sees, the
// inflection of pH for alkalinity (ISO 9963-1, from memory: near pH 4.5) and
// eriochrome black T or calmagite for hardness (ISO 6059), within 3 %.
func TestWatersOfTheTables(t *testing.T) {
	ctx := context.Background()
	n := 0
	for w := range tables.All[tables.Water](demo.Tables(t)) {
		if w.Hardness() < 1e-4 || w.Alkalinity < 5e-4 {
			continue // too soft for 0.01 mol/L
		}
		n++
		sample := func() *solution.Solution {
			s, err := solution.New(demo.Tables(t), chem.Celsius(25))
			require.NoError(t, err)
			require.NoError(t, s.AddWater(w, 100*mL))
			return s
		}
		acid, err := titration.New(sample(), strongAcid(t, 0.02), "H+")
		require.NoError(t, err)
		v, err := acid.Equivalence("H+ = 2 CO3^2-")
		require.NoError(t, err)
		c, err := titration.Titre{Sample: titration.Aliquot{Volume: 100 * mL}, Strength: titration.Result{Value: 0.02}, Delivered: titration.Aliquot{Volume: v}}.Concentration()
		require.NoError(t, err)
		a := tables.Alkalinity(c.Value)
		assert.InEpsilon(t, float64(w.Alkalinity), float64(a), 1e-9, w.Name)
		bends, err := acid.Inflections(ctx, 2*v)
		require.NoError(t, err)
		require.NotEmpty(t, bends, w.Name)
		last := bends[len(bends)-1]
		assert.InEpsilon(t, float64(v/mL), last.ML, 0.03, w.Name)
		assert.InDelta(t, 4.5, last.P, 0.4, w.Name)

		held := sample()
		require.NoError(t, held.HoldPH(10))
		edta, err := titration.New(held, mix(t, 100, map[string]float64{"Na+": 0.02, "H2edta2-": 0.01}), "Mg2+")
		require.NoError(t, err)
		v, err = edta.Equivalence("Ca2+ + Mg2+ = edta4-")
		require.NoError(t, err)
		r, err := titration.Titre{Sample: titration.Aliquot{Volume: 100 * mL}, Strength: titration.Result{Value: 0.01}, Delivered: titration.Aliquot{Volume: v}}.Concentration()
		require.NoError(t, err)
		h := tables.Hardness(r.Value)
		assert.InEpsilon(t, float64(w.Hardness()), float64(h), 1e-9, w.Name)
		verdicts, err := edta.Judge(ctx, tables.All[tables.Indicator](demo.Tables(t)), v, 2*v, 0.03)
		require.NoError(t, err)
		if n := w.Name; assert.NotEmpty(t, verdicts, n) && w.Concentration(ion(t, "Fe2+")) == 0 {
			assert.True(t, verdicts[0].Suits, "%s: %s", n, verdicts[0].Why)
			assert.Less(t, math.Abs(verdicts[0].RelativeError), 0.03, n)
		}
	}
	assert.GreaterOrEqual(t, n, 3)
}

func ion(t testing.TB, name string) chem.Species {
	t.Helper()
	s, err := chem.ParseSpecies(name)
	require.NoError(t, err)
	return s
}
