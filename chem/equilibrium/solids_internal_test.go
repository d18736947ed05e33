package equilibrium

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// A solid made of what two others are made of comes in for as much as lets one of them go: what all
// hold together stays, and none of them holds less than nothing.
func TestSolidInThePlaceOfAnother(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 41))
	gone := map[int32]int{}
	for range 300 {
		rows := [][]float64{{float64(1 + r.IntN(3)), 0}, {float64(r.IntN(3)), float64(1 + r.IntN(3))}, {float64(1 + r.IntN(4)), float64(1 + r.IntN(4))}}
		s, err := New(2, [][]float64{{1, 0}, {0, 1}, {1, 1}}, rows)
		require.NoError(t, err)
		w := s.NewWorkspace()
		_, err = w.prepare(&Conditions{LnK: []float64{0, 0, 5}, LnKs: []float64{-5, -5, -9}, Total: []float64{1, 1}}, 0, new(Result))
		require.NoError(t, err)
		w.medium = nil
		w.clear()
		w.x[0], w.x[1] = -5, -5
		w.evaluate()
		w.active = append(w.active, 0, 1)
		w.m[0], w.m[1] = r.Float64(), r.Float64()
		w.enter(false)
		holds := func() (sum [2]float64) {
			for k, m := range w.m[:3] {
				for i, v := range rows[w.p.solid[k]] {
					sum[i] += m * v
				}
			}
			return sum
		}
		before := holds()
		if w.b.over(&w.p.solids, 2); w.b.q[0] <= 0 && w.b.q[1] <= 0 {
			continue
		}
		require.NoError(t, w.letIn(2))
		after := holds()
		require.InDeltaSlice(t, before[:], after[:], 1e-12)
		require.Len(t, w.active, 2)
		require.Contains(t, w.active, int32(2))
		for k, m := range w.m[:3] {
			require.GreaterOrEqual(t, m, -1e-12, "%v", rows)
			if m == 0 {
				gone[int32(k)]++
			}
		}
	}
	require.Greater(t, min(gone[0], gone[1]), 30)
}
