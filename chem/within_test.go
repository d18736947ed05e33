package chem_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.com/chelation/chem"
)

// Both ends of a range are in it, infinity is in none, be the range as wide as it is,
// and what is no number is not either.
func TestWithinIsFinite(t *testing.T) {
	inf := math.Inf(1)
	for _, x := range []float64{-2, 0, 3} {
		assert.NoError(t, chem.Within("x", x, -2, 3, "L"))
		assert.NoError(t, chem.Within("x", x, -inf, inf, "L"))
	}
	for _, x := range []float64{-inf, inf, math.NaN()} {
		assert.ErrorIs(t, chem.Within("x", x, -inf, inf, "L"), chem.ErrInput)
	}
	for _, x := range []float64{-2.1, 3.1, math.NaN()} {
		assert.ErrorIs(t, chem.Within("x", x, -2, 3, "L"), chem.ErrInput)
	}
}

// What is but a charge in brackets is no formula, nor is a sign alone; zinc and zirconium,
// whose letter is the last, are refused in no other way than others when misspelt.
func TestFormulasAtTheEnds(t *testing.T) {
	for _, text := range []string{"+)", "-)", "+", "(+)", ""} {
		_, err := chem.ParseFormula(text)
		assert.ErrorIs(t, err, chem.ErrInput, "%q", text)
	}
	for _, c := range []struct{ a, z string }{{"Axl3", "Zxl3"}, {"A2+", "Z2+"}, {"NaAq", "NaZq"}} {
		_, first := chem.ParseFormula(c.a)
		_, last := chem.ParseFormula(c.z)
		assert.ErrorIs(t, first, chem.ErrInput)
		assert.ErrorIs(t, last, chem.ErrInput)
	}
	f, err := chem.ParseFormula("ZrZn2(OH)4")
	assert.NoError(t, err)
	assert.Equal(t, 2.0, f.Count("Zn"))
	assert.Equal(t, 1.0, f.Count("Zr"))
}
