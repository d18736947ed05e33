package solution

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
)

// Baths of anything: all components that a rust bath can hold, totals over nine
// decades, H⁺ of either sign, some without a component or two. Every one has a
// state, and it is found.
func TestRandomBaths(t *testing.T) {
	count := 20000
	if testing.Short() {
		count = 1000
	}
	tb := standard(t)
	names := []string{"H+", "Na+", "K+", "Mg2+", "Ca2+", "Mn2+", "Fe2+", "Fe3+", "Ni2+", "Cu2+", "Zn2+", "Cd2+", "Pb2+", "Al3+",
		"edta4-", "cit3-", "CO3^2-", "Cl-", "SO4^2-", "PO4^3-", "ac-"}
	s, err := New(tb, chem.Celsius(25))
	require.NoError(t, err)
	require.NoError(t, s.AddPureWater(litre))
	index := make([]int, len(names))
	for k, name := range names {
		index[k], err = s.component(name)
		require.NoError(t, err)
		s.amounts[index[k]] = 1
	}
	const seed = 20261125
	random := rand.New(rand.NewPCG(seed, 0))
	worst, most := 0.0, 0
	for n := range count {
		for k, i := range index {
			x := math.Pow(10, -9+9*random.Float64())
			switch {
			case k == 0 && random.IntN(2) == 0:
				x = -x
			case k > 0 && random.IntN(10) == 0:
				x = 0
			}
			s.amounts[i] = x
		}
		m, err := s.Solve()
		require.NoError(t, err, "bath %d of seed %d: %v", n, seed, s.amounts)
		require.LessOrEqual(t, m.Result.Residual, 1e-12, "bath %d of seed %d", n, seed)
		worst, most = max(worst, m.Result.Residual), max(most, m.Result.Iterations)
		m.Return()
	}
	t.Logf("%d baths, seed %d: none failed, worst relative mass balance %.1e, at most %d Newton steps", count, seed, worst, most)
}
