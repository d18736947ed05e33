package equilibrium

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/floats"
)

// A sweep meets each balance by its anchor to a hundredth, from however many decades away:
// Σ v c e^(v s) = total, the positive against the negative side, total among them.
func TestAnchorsMeetTheirBalance(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 9))
	s, err := New(1, [][]float64{{1}, {2}, {3}, {5}, {-1}, {-4}}, nil)
	require.NoError(t, err)
	w := s.NewWorkspace()
	for range 2000 {
		v := []float64{1, 2, 3, 5, -1, -4}
		for j := range v {
			if v[j] = v[j] / float64(1+r.IntN(3)); r.IntN(3) == 0 {
				v[j] = 0
			}
			w.c[j] = math.Exp(200*r.Float64() - 150)
		}
		total := math.Exp(40*r.Float64() - 30)
		if v[0] = 1; r.IntN(2) == 0 {
			v[4], total = -1, -total
		}
		at := w.along(v, total)
		pos, neg := max(-total, 0), max(total, 0)
		for j, f := range v {
			pos += max(0, f) * w.c[j] * math.Exp(f*at)
			neg += max(0, -f) * w.c[j] * math.Exp(f*at)
		}
		require.InDelta(t, 0, math.Log(pos/neg), 0.01, "v %v, c %v, total %g", v, w.c, total)
	}
	for j := range w.c {
		w.c[j] = math.Inf(1)
	}
	require.Zero(t, w.along([]float64{1, 0, 0, 0, -1, 0}, 1), "no number tells where to go")
}

// A sweep leaves the solids that are present at their saturation, the first as well as the second: what
// they lead is met by how much there is of them.
func TestSweepsKeepSaturation(t *testing.T) {
	s, err := New(3, [][]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}, {1, 1, 0}, {0, 1, 1}}, [][]float64{{1, 0, 0}, {0, 1, 1}})
	require.NoError(t, err)
	for k := range int32(2) {
		w := s.NewWorkspace()
		_, err := w.prepare(&Conditions{LnK: []float64{0, 0, 0, 4, 6}, LnKs: []float64{-8, -12}, Total: []float64{0.1, 0.2, 0.3}}, 0, new(Result))
		require.NoError(t, err)
		w.medium = nil
		w.clear()
		copy(w.x, []float64{-3, -5, -2})
		w.evaluate()
		w.active = append(w.active, k)
		w.enter(false)
		for i, solid := range w.b.solids { // to where it is just saturated, the other anchors as they are
			short := w.p.b[k] - w.p.solids.dot(solid, w.x)
			floats.AddScaled(w.x[:w.b.n], short/w.b.lead[i], w.b.u[i*w.b.n:(i+1)*w.b.n])
		}
		w.evaluate()
		off := w.imbalance()
		for range 30 {
			w.sweep()
			require.InDelta(t, 0, w.p.solids.dot(int(k), w.x)-w.p.b[k], 1e-12)
		}
		require.Less(t, w.imbalance(), 0.1*off)
	}
}
