package tables

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every group that a material counts as has a caution, and none stands for more than it is.
func TestMaterials(t *testing.T) {
	tables := referenceTables(t)
	for m := range All[Material](tables) {
		assert.NotEmpty(t, m.Is+m.Does+m.Do, m.ID)
		if m.Couple != "" {
			c, err := Find[Couple](tables, m.Couple)
			require.NoError(t, err)
			assert.True(t, c.Metal(), m.ID)
		}
	}
	spring, err := tables.Material("coil spring")
	require.NoError(t, err)
	assert.Equal(t, StaysOut, spring.Admits(6.9))
	assert.Equal(t, Watched, spring.Admits(7))
}

// ASTM B850 (from memory): 8 h from 1000 MPa, 22 h at 1700 to 1800 MPa; the classes join.
func TestBaking(t *testing.T) {
	last := Bake{HighMPa: 1000, HighHRC: 31}
	for b := range All[Bake](referenceTables(t)) {
		if b.ID != "surface-hardened" {
			assert.Equal(t, last.HighMPa, b.LowMPa)
			assert.InDelta(t, 8+(b.LowMPa-1000)/50, b.MinimumHours, 1e-9)
		}
		assert.Equal(t, last.HighHRC, b.LowHRC)
		last = b
	}
}

// Sodium benzoate in mains water, 1.0 to 1.5 % (abstract of Wormwell & Mercer 1952);
// nitrite as a rinse, 0.5 % (boiler practice, from memory), and never near acid.
func TestInhibitors(t *testing.T) {
	found := 0
	for i := range All[Inhibitor](referenceTables(t)) {
		switch i.ID {
		case "sodium-benzoate":
			assert.Equal(t, [2]float64{10, 15}, [2]float64{i.GramsPerLitre.Low, i.GramsPerLitre.High})
			assert.Equal(t, 6.0, i.LowPH)
			found++
		case "sodium-nitrite":
			assert.Equal(t, 5.0, i.GramsPerLitre.Typical)
			assert.True(t, strings.Contains(i.Caution, "With acid") && strings.Contains(i.Caution, "amines"))
			assert.Greater(t, i.LowPH, 7.0)
			found++
		}
	}
	assert.Equal(t, 2, found)
}

// People say what a thing is made of in their own words.
func TestMaterialInWords(t *testing.T) {
	for said, id := range map[string]string{
		"springs": "spring", "Files": "file", "galvanised bolt": "zinc", "brass lamp": "copper", "stainless steel file": "file", "radiators": "closed-vessel",
	} {
		m, err := referenceTables(t).Material(said)
		if assert.NoError(t, err, said) {
			assert.Equal(t, id, m.ID, said)
		}
	}
	_, err := referenceTables(t).Material("titanium")
	assert.ErrorIs(t, err, ErrNotFound)
	_, err = referenceTables(t).Reagent("bleach")
	assert.ErrorContains(t, err, "chlorine", "what must never go in is told so, and nothing like it offered")
}
