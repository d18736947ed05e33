package equilibrium

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The order of elimination by its definition, counted from the dense rows: first unknowns
// of which no two share a species and none is given off, then those that share species with
// fewer before those that share with more. One random problem in 20,000 is lost in another.
func TestOrderOfElimination(t *testing.T) {
	// H⁺, four metals of growing company, two ligands
	species := [][]float64{
		{1, 0, 0, 0, 0, 0, 0}, {0, 1, 0, 0, 0, 0, 0}, {0, 0, 1, 0, 0, 0, 0}, {0, 0, 0, 1, 0, 0, 0}, {0, 0, 0, 0, 1, 0, 0}, {0, 0, 0, 0, 0, 1, 0}, {0, 0, 0, 0, 0, 0, 1},
		{-1, 0, 0, 0, 0, 0, 0}, {1, 0, 0, 0, 0, 1, 0}, {1, 0, 0, 0, 0, 0, 1}, {0, 0, 0, 0, 1, 1, 0}, {0, 0, 0, 1, 0, 1, 0}, {0, 0, 0, 1, 0, 0, 1}, {-1, 0, 1, 0, 0, 1, 1},
		{0, 0, 1, 0, 1, 0, 0}, {0, 0, 0, 0, 0, 1, 2},
	}
	s, err := New(7, species, nil)
	require.NoError(t, err)
	shares := func(i, k int32) bool {
		for _, row := range species {
			if row[i] != 0 && row[k] != 0 {
				return true
			}
		}
		return false
	}
	partners := func(i int32) (n int) {
		for k := range int32(7) {
			if shares(i, k) {
				n++
			}
		}
		return n
	}
	w := s.NewWorkspace()
	total := []float64{0.1, 0.1, 0.1, 0.1, 0.1, 0.1, 0.1}
	_, err = w.prepare(&Conditions{LnK: make([]float64, len(species)), Total: total}, 0, new(Result))
	require.NoError(t, err)
	comp, apart := w.p.comp, w.p.apart
	require.Len(t, comp, 7)
	for at, i := range comp {
		assert.Equal(t, int32(at), w.p.back[i])
		for _, k := range comp[:min(at, apart)] {
			assert.False(t, at < apart && shares(i, k), "%d and %d", i, k)
		}
		if at < apart {
			assert.NotEqual(t, int32(0), i, "H⁺ is given off")
		} else { // any that could have stood apart does
			alone := i != 0
			for _, k := range comp[:apart] {
				alone = alone && !shares(i, k)
			}
			assert.False(t, alone, "%d", i)
		}
		if at > 0 && at != apart {
			assert.LessOrEqual(t, partners(comp[at-1]), partners(i), "%v", comp)
		}
	}
}
