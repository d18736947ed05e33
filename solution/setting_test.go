package solution

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// 0.1 mol/L acetic acid of pKa 4.76 has, without activities, the pH of the
// quadratic x²/(0.1−x) = Ka: 2.88 in every introductory textbook.
func TestCallersConstant(t *testing.T) {
	s, err := New(standard(t), 298.15)
	require.NoError(t, err)
	require.NoError(t, s.AddPureWater(litre))
	require.NoError(t, s.AddSpecies("Hac", 0.1))
	s.SetIdeal(true)
	require.NoError(t, s.SetConstant("Hac", 4.76, 0))
	ka := math.Pow(10, -4.76)
	x := (-ka + math.Sqrt(ka*ka+0.4*ka)) / 2
	st := equilibrate(t, s)
	assert.InDelta(t, -math.Log10(x), st.PH, 1e-6)
	assert.Equal(t, st.PConcH, st.PH)
	c := s.Clone()
	require.NoError(t, c.SetConstant("Hac", math.Inf(-1), 0))
	assert.InDelta(t, 1, equilibrate(t, c).PH, 1e-6, "nothing holds the proton")
	assert.InDelta(t, -math.Log10(x), equilibrate(t, s).PH, 1e-6, "a clone's constants are its own")
	for _, bad := range []struct {
		species     string
		logK, ionic float64
	}{{"Hac", math.NaN(), 0}, {"Hac", math.Inf(1), 0}, {"Hac", 1e3, 0}, {"ac-", 1, 0}, {"Hac", 4.76, -1}, {"Hac", 4.76, math.NaN()}} {
		assert.ErrorIs(t, s.SetConstant(bad.species, bad.logK, bad.ionic), chem.ErrInput, "%v", bad)
	}
	assert.ErrorIs(t, s.SetConstant("Hxy", 1, 0), tables.ErrNotFound)
}

func TestHeldPH(t *testing.T) {
	s := tub(t)
	require.NoError(t, s.HoldPH(7))
	st := equilibrate(t, s)
	assert.InDelta(t, 7, st.PH, 1e-12)
	assert.Zero(t, st.BufferCapacityMolPerLitre, "a held pH has no buffer capacity")
	_, err := s.Dose(reagent(t, "citric acid"), PH(6))
	assert.ErrorIs(t, err, chem.ErrInput)
	assert.ErrorIs(t, s.HoldPH(17), chem.ErrInput)
}
