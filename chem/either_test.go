package chem

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A digit before a bare sign behind a metal and what it may hold once or twice is refused
// both ways it could be read, and taken with the sign of either reading written out.
func TestDigitsThatCouldBeEither(t *testing.T) {
	for either, want := range map[string][2]string{"FeCl2+": {"FeCl^2+", "(FeCl2)+"}, "TiO2+": {"TiO^2+", "(TiO2)+"}, "FeS2+": {"FeS^2+", "(FeS2)+"}, "CuBr2+": {"CuBr^2+", "(CuBr2)+"}} {
		_, err := ParseSpecies(either)
		require.ErrorContains(t, err, "could be a subscript or part of the charge", either)
		for i, text := range want {
			s, err := ParseSpecies(text)
			require.NoError(t, err, text)
			assert.Equal(t, 2-i, s.Formula.Charge(), text)
		}
	}
}
