package tables

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Magnesium binds eriochrome black T and calmagite more strongly than calcium
// does, which is why a trace of magnesium sharpens a calcium titration
// (Schwarzenbach & Biedermann 1948: 7.0 and 5.4, from memory); murexide and
// calcon serve for calcium. Every metal is a component of the tables.
func TestIndicatorComplexes(t *testing.T) {
	tables := referenceTables(t)
	logK := func(name, metal string) float64 {
		x, err := tables.Indicator(name)
		require.NoError(t, err)
		for _, c := range x.Complexes {
			if c.Metal.String() == metal {
				return c.LogBeta[0]
			}
		}
		t.Fatalf("%s does not bind %s", name, metal)
		return 0
	}
	assert.InDelta(t, 7.0, logK("EBT", "Mg2+"), 0.05)
	assert.InDelta(t, 5.4, logK("EBT", "Ca2+"), 0.05)
	assert.InDelta(t, 8.1, logK("calmagite", "Mg2+"), 0.1)
	assert.InDelta(t, 14.4, logK("sulfosalicylic acid", "Fe3+"), 0.3)
	for x := range All[Indicator](tables) {
		assert.Equal(t, x.Kind == AcidBase, len(x.Changes) > 0, x.ID)
		for _, c := range x.Complexes {
			assert.NotEmpty(t, c.LogBeta, x.ID)
			assert.Positive(t, c.Metal.Formula.Charge(), x.ID)
		}
	}
	// By rising pKa at the first change, as listed.
	last := 0.0
	for x := range All[Indicator](tables) {
		if x.Kind == AcidBase {
			assert.Greater(t, x.PKa[0], last, x.ID)
			last = x.PKa[0]
		}
	}
}

func TestBadIndicators(t *testing.T) {
	good := content(t, "indicators.csv")
	for _, c := range []struct{ name, old, new, column string }{
		{"pKa outside its change", "acid-base,7.1,", "acid-base,8.1,", "changes"},
		{"change upside down", "6.0-7.6", "7.6-6.0", "changes"},
		{"falling pKa", "6.3;11.55", "11.55;6.3", "pka"},
		{"colour too few", "red;blue;orange", "red;blue", "colours"},
		{"metal unknown", "Ca2+|5.4", "Ca+|5.4", "complexes"},
		{"anion as metal", "Ca2+|5.4", "Cl-|5.4", "complexes"},
		{"falling beta", "14.4 25.2 32.2", "14.4 32.2 25.2", "complexes"},
		{"kind", "metallochromic,6.3", "redox,6.3", "kind"},
		{"change of a metal indicator", "red;blue;orange,,Ca2+|5.4", "red;blue;orange,5-7,Ca2+|5.4", "changes"},
	} {
		bad := strings.Replace(good, c.old, c.new, 1)
		require.NotEqual(t, good, bad, c.name)
		_, err := loadReferenceFrom(changed(t, "indicators.csv", bad))
		refusedAt(t, err, "indicators.csv", c.column, c.name)
	}
}
