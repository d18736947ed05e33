package tables

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
)

// charge is that of the strong ions, eq/L.
func charge(w Water) (sum float64) {
	for _, ion := range w.Ions {
		sum += float64(ion.Species.Formula.Charge()) * ion.MolPerLitre
	}
	return sum
}

// The charge of the strong ions is the alkalinity, and the named tap waters lie
// in the class of the US Geological Survey they are named after.
func TestWatersClose(t *testing.T) {
	tables := referenceTables(t)
	for w := range All[Water](tables) {
		assert.InDelta(t, float64(w.Alkalinity), charge(w), 1e-15, w.ID)
		for _, ion := range w.Ions {
			assert.Positive(t, ion.MolPerLitre, "%s %s", w.ID, ion.Species)
		}
	}
	for name, class := range map[string]string{
		"distilled water": "soft", "soft water": "soft", "tap water": "moderately hard", "hard water": "hard", "very hard water": "very hard",
	} {
		w, err := tables.Water(name)
		require.NoError(t, err)
		assert.Equal(t, class, w.Hardness().Class(), name)
	}
	well, err := tables.Water("well water")
	require.NoError(t, err)
	assert.InDelta(t, 2e-3/55.845, well.Concentration(ferrous), 1e-9) // 2 mg/L of iron
	distilled, err := tables.Water("distilled")
	require.NoError(t, err)
	assert.Empty(t, distilled.Ions)
}

func TestNewWater(t *testing.T) {
	for _, c := range []struct {
		hardness, alkalinity float64 // mol/L, eq/L
		closing              string
	}{
		{1.2e-3, 2.0e-3, "Cl-"},
		{1.2e-3, 4.0e-3, "Na+"},
		{0, 0, ""},
	} {
		w, err := NewWater("tub", Hardness(c.hardness), 0.7, Alkalinity(c.alkalinity), 7.5)
		require.NoError(t, err)
		for _, ion := range []chem.Species{sodium, chloride} {
			assert.Equal(t, ion.String() == c.closing, w.Concentration(ion) > 0, ion)
		}
		assert.InDelta(t, c.hardness, float64(w.Hardness()), 1e-15)
		assert.InDelta(t, 0.7*c.hardness, w.Concentration(calcium), 1e-15)
		assert.InDelta(t, c.alkalinity, charge(w), 1e-15)
	}
	for _, c := range []struct {
		hardness Hardness
		share    float64
		alk      Alkalinity
		pH       float64
		field    string
	}{
		{-1e-3, 0.7, 0, 7, "hardness"},
		{Hardness(math.NaN()), 0.7, 0, 7, "hardness"},
		{Hardness(math.Inf(1)), 0.7, 0, 7, "hardness"},
		{1e-3, 1.1, 0, 7, "calcium share"},
		{1e-3, 0.7, -1e-3, 7, "alkalinity"},
		{1e-3, 0.7, 1e-3, 2, "pH"},
		{1e-3, 0.7, 1e-3, math.NaN(), "pH"},
	} {
		_, err := NewWater("tub", c.hardness, c.share, c.alk, c.pH)
		require.ErrorIs(t, err, chem.ErrInput)
		assert.ErrorContains(t, err, c.field)
	}
}

func TestBadWaters(t *testing.T) {
	good := content(t, "waters.csv")
	for _, c := range []struct{ name, old, new, column string }{
		{"negative", "22,8,25", "-22,8,25", "calcium"},
		{"not a number", "22,8,25", "22,NaN,25", "magnesium"},
		{"no pH", "25,7.2", "25,", "ph"},
		{"id twice", "soft-tap,", "rain,", "id"},
		{"no source", "Within the soft class.,usgs-hardness-classes;common-practice", "Within the soft class.,", "source"},
	} {
		bad := strings.Replace(good, c.old, c.new, 1)
		require.NotEqual(t, good, bad, c.name)
		_, err := loadReferenceFrom(changed(t, "waters.csv", bad))
		refusedAt(t, err, "waters.csv", c.column, c.name)
	}
}
