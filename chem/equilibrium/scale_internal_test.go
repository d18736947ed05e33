package equilibrium

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What can be met does not hang on how much there is of all: H⁺ set free by a metal's hydroxide alone,
// of which there is a total of zero, from a mole of the metal to a hundred-million-millionth.
func TestEndsInAllSizes(t *testing.T) {
	s, err := New(2, [][]float64{{1, 0}, {0, 1}, {-1, 1}}, nil)
	require.NoError(t, err)
	for scale := 1.0; scale > 1e-17; scale /= 10 {
		for _, x := range []struct {
			proton float64
			met    bool
		}{{0, true}, {-0.5, true}, {-0.999, true}, {-1.001, false}, {0.5, true}} {
			w := s.NewWorkspace()
			_, err := w.prepare(&Conditions{LnK: []float64{0, 0, -20}, Total: []float64{x.proton * scale, scale}}, 0, new(Result))
			require.NoError(t, err)
			w.medium = nil
			w.clear()
			assert.Equal(t, x.met, w.tropical() == met, "%g of %g mol/L", x.proton, scale)
		}
	}
}
