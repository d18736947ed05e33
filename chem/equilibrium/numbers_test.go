package equilibrium_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem/equilibrium"
)

// Every number that a solve is given counts: with one of them half as large again, a workspace
// that has just answered without that answers as a new one does, and otherwise than before.
func TestEveryNumberCounts(t *testing.T) {
	// H⁺, metal, ligand; OH⁻, HL, ML; the hydroxide, present, and a salt that is not; the chloride and
	// its concentration are given
	s, err := equilibrium.New(4, [][]float64{{1, 0, 0, 0}, {0, 1, 0, 0}, {0, 0, 1, 0}, {0, 0, 0, 1}, {-1, 0, 0, 0}, {1, 0, 1, 0}, {0, 1, 1, 0}, {0, 1, 0, 1}},
		[][]float64{{-2, 1, 0, 0}, {0, 1, 0, 2}})
	require.NoError(t, err)
	for _, medium := range []bool{false, true} {
		c := &equilibrium.Conditions{
			LnK: []float64{0.1, 0.1, 0.1, 0.1, -32, 20, 18, 2}, LnKs: []float64{26, 5}, Total: []float64{-0.02, 0.03, 0.01, 0},
			Held: []bool{false, false, false, true}, LnHeld: []float64{0, 0, 0, -2},
		}
		numbers := map[string][]float64{"Total": c.Total[:3], "LnHeld": c.LnHeld[3:]}
		dh := []float64{0.51}
		if medium {
			m := &equilibrium.Medium{
				LnK0: c.LnK, LnKs0: c.LnKs, DZ2: []float64{0.1, 0.1, 0.1, 0.1, 2, -6, -12, -4}, DEps: []float64{0.1, 0.1, 0.1, 0.1, 0.2, 0.1, 0.3, 0.1},
				Z2: []float64{1, 4, 9, 1, 1, 4, 1, 1}, DZ2S: []float64{-2, 6}, DEpsS: []float64{0.1, 0.1}, CompZ2: []float64{1, 4, 9, 1}, CompEps: []float64{0.1, 0.1, 0.1, 0.1},
			}
			c.Medium = m
			for name, v := range map[string][]float64{
				"A": dh, "LnK0": m.LnK0, "LnKs0": m.LnKs0, "DZ2": m.DZ2, "DEps": m.DEps, "DZ2S": m.DZ2S, "DEpsS": m.DEpsS, "Z2": m.Z2,
				"CompZ2": m.CompZ2[3:], "CompEps": m.CompEps[3:], // of what is held
			} {
				numbers[name] = v
			}
		} else {
			numbers["LnK"], numbers["LnKs"] = c.LnK, c.LnKs
		}
		solve := func(w *equilibrium.Workspace, r *equilibrium.Result) []float64 {
			if medium {
				c.Medium.A = dh[0]
			}
			require.NoError(t, w.SolveFrom(c, r))
			return slices.Concat(r.LnC, r.C, r.Solid, r.Saturation, r.Total, []float64{r.Ionic})
		}
		w, r := s.NewWorkspace(), new(equilibrium.Result)
		before := solve(w, r)
		require.Positive(t, r.Solid[0])
		require.Zero(t, r.Solid[1])
		for name, v := range numbers {
			for i, x := range v {
				where := fmt.Sprintf("%s %d, medium %v", name, i, medium)
				v[i] = 1.5 * x
				after, alone := solve(w, r), solve(s.NewWorkspace(), new(equilibrium.Result))
				moved := 0.0
				for k, a := range after {
					require.InDelta(t, alone[k], a, 1e-9*(1+math.Abs(alone[k])), where)
					moved = max(moved, math.Abs(a-before[k])/(1e-9+math.Abs(before[k])))
				}
				require.Greater(t, moved, 1e-8, where)
				v[i] = x
				for k, b := range solve(w, r) {
					require.InDelta(t, before[k], b, 1e-9*(1+math.Abs(b)), where)
				}
			}
		}
	}
}
