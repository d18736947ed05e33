package equilibrium

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// Relaxed, the balance of a metal that shares no species with another is met, whatever its
// clusters and however far off it was, and mass action holds as before.
func TestRelaxedBalancesAreMet(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 31))
	for _, clusters := range [][]float64{{1}, {1, 2}, {1, 3}, {1, 2, 3, 5}, {2, 7}, {1, 2, 3, 4, 5, 6, 7}} {
		var species [][]float64
		for _, n := range clusters {
			species = append(species, []float64{n, 0}, []float64{n, 1})
		}
		species = append(species, []float64{0, 1}, []float64{0, -1})
		s, err := New(2, species, nil)
		require.NoError(t, err)
		w := s.NewWorkspace()
		for range 200 {
			c := &Conditions{LnK: make([]float64, len(species)), Total: []float64{math.Exp(-10 * r.Float64()), 0.01 * r.NormFloat64()}}
			for j := range c.LnK {
				c.LnK[j] = 20*r.Float64() - 10
			}
			_, err := w.prepare(c, 0, new(Result))
			require.NoError(t, err)
			w.medium = nil
			w.clear()
			require.Equal(t, 1, w.p.apart)
			for i := range w.x[:2] {
				w.x[i] = -8 * r.Float64()
			}
			w.evaluate()
			up, down := w.sides(0)
			require.InDelta(t, 0, math.Log(up/down), 1e-7, "%v", clusters)
			for j := range w.p.species.len() {
				require.InDelta(t, 0, math.Log(w.c[j]/w.law(j)), 1e-10)
			}
		}
	}
}
