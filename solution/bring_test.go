package solution

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What a vessel is brought to is what a dose foretells, and a target out of reach leaves it alone.
func TestBring(t *testing.T) {
	s := tub(t)
	d, err := s.Dose(reagent(t, "citric acid"), PH(7))
	require.NoError(t, err)
	v := s.Clone()
	grams, err := v.Bring(reagent(t, "citric acid"), PH(7))
	require.NoError(t, err)
	assert.Equal(t, d.MassGrams, grams)
	st := equilibrate(t, v)
	assert.InDelta(t, 7, st.PH, 1e-9)
	assert.Equal(t, d.After.VolumeLitres, st.VolumeLitres)
	grams, err = v.Bring(reagent(t, "citric acid"), PH(12))
	assert.ErrorIs(t, err, ErrUnreachable)
	assert.Zero(t, grams)
	assert.Equal(t, st, equilibrate(t, v))
}

// A state from which an answer starts is no part of the answer: constants of the caller's give the
// state that they give in a new vessel.
func TestStartAtOtherConstants(t *testing.T) {
	warm, cold := tub(t), tub(t)
	equilibrate(t, warm)
	for _, logK := range []float64{8, 12, 2} {
		require.NoError(t, warm.SetConstant("Hedta3-", logK, 0.1))
		require.NoError(t, cold.SetConstant("Hedta3-", logK, 0.1))
		cold.answer = nil
		assert.InDelta(t, equilibrate(t, cold).PH, equilibrate(t, warm).PH, 1e-9, "log K %g", logK)
	}
}
