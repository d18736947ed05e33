package tables

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Densities at 20 °C: CRC Handbook, concentrative properties (from memory). Strengths of
// degrees Baumé of muriatic acid: trade tables (from memory).
func TestStrengthOnTheLabel(t *testing.T) {
	tables := referenceTables(t)
	for _, c := range []struct {
		name            string
		percent, kgPerL float64
		id              string
	}{
		{"phosphoric 30 %", 30, 1.1805, "phosphoric-acid 30 %"},
		{"phosphoric acid, 10%", 10, 1.0532, "phosphoric-acid 10 %"},
		{"hydrochloric acid 10 %", 10, 1.0476, "muriatic-acid 10 %"},
		{"muriatic 20°Bé", 31.45, 1.160, "muriatic-acid 20 °Bé"},
		{"muriatic 18 Be", 27.92, 1.1417, "muriatic-acid 18 °Bé"},
		{"muriatic acid 22 baume", 35.21, 1.1789, "muriatic-acid 22 °Bé"},
		{"vinegar 30 %", 30, 1.0383, "vinegar 30 %"},
		{"vinegar, 6 % acidity", 6, 1.0069, "vinegar 6 %"},
	} {
		r, err := tables.Reagent(c.name)
		require.NoError(t, err, c.name)
		assert.True(t, r.Assay.Low <= c.percent/100 && c.percent/100 <= r.Assay.High, "%s: %v", c.name, r.Assay)
		if strings.HasSuffix(r.Name, "%") {
			assert.InDelta(t, c.percent/100, r.Assay.Typical, 1e-12, c.name)
		}
		assert.InEpsilon(t, 1000*c.kgPerL, r.DensityKgPerM3.Typical, 0.02, c.name)
		assert.Equal(t, c.id, r.ID)
		again, err := tables.Reagent(r.ID)
		require.NoError(t, err)
		assert.Equal(t, r, again)
	}
	for _, bad := range []string{"phosphoric 0 %", "muriatic acid 120 %", "lye 30 %", "30 %", "phosphric 30 %", "muriatic 140 Bé"} {
		_, err := tables.Reagent(bad)
		assert.Error(t, err, bad)
	}
	for short, id := range map[string]string{"muriatic": "muriatic-acid", "phosphoric": "phosphoric-acid", "citric": "citric-acid"} {
		r, err := tables.Reagent(short)
		require.NoError(t, err)
		assert.Equal(t, id, r.ID)
	}
	same, err := tables.Reagent("Phosphoric acid, 85 %")
	require.NoError(t, err)
	assert.Equal(t, "phosphoric-acid", same.ID)
}
