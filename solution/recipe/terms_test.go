package recipe_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

// The terms of a bath by arithmetic: 12 for 20 L that take 80 g are 0.6 for a litre, 4 g in a
// litre, 150 for a kilogram and, of a layer of 50 g/m², 7.5 for a square metre.
func TestTermsByHand(t *testing.T) {
	l := rust.Layer{RustGramsPerM2: tables.Range{Low: 30, Typical: 50, High: 90}}
	got, err := recipe.TermsOf(12, 20*measure.Litre, 80*measure.Gram, l)
	require.NoError(t, err)
	assert.InEpsilon(t, 0.6, got.PerLitre, 1e-12)
	assert.InEpsilon(t, 4, got.RustGramsPerLitre, 1e-12)
	assert.InEpsilon(t, 150, got.PerKgRust, 1e-12)
	assert.InEpsilon(t, 7.5, got.PerM2, 1e-12)
}

// A tub without height, or below none, holds nothing and has no surface; one of straight walls
// holds length times width times depth, up to its rim.
func TestTubsOfNoHeight(t *testing.T) {
	box := recipe.Tub{Bottom: [2]unit.Length{0.4, 0.5}, Rim: [2]unit.Length{0.4, 0.5}, Height: 0.3}
	for depth, want := range map[unit.Length]float64{-1: 0, 0: 0, 0.1: 0.02, 0.3: 0.06, 0.4: 0.06} {
		assert.InDelta(t, want, float64(box.Volume(depth)), 1e-12)
		assert.InDelta(t, 0.2, float64(box.Surface(depth)), 1e-12)
	}
	for _, height := range []unit.Length{0, -0.1} {
		box.Height = height
		assert.Zero(t, box.Volume(0.1))
		assert.Zero(t, box.Surface(0.1))
	}
}
