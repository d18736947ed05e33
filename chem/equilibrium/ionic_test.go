package equilibrium_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem/equilibrium"
)

// A metal and its pair, M₂ of a charge beyond all chemistry whose constant grows with ionic strength, by hand:
// at an ionic strength I all follows from a quadratic equation, and own(I) is that of the answer. An
// answer is where own(I) = I, up to 1000 mol/L and not beyond, where the pair brings up another; and
// where no I below meets its own the problem is refused as such.
func TestIonicStrengthOfItsOwnAnswer(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 31))
	s, err := equilibrium.New(1, [][]float64{{1}, {2}}, nil)
	require.NoError(t, err)
	w, answer := s.NewWorkspace(), new(equilibrium.Result)
	answers, refusals := 0, 0
	for range 600 {
		total := math.Exp(-6 * r.Float64())
		z2 := min(9e4, 4000*math.Exp(2*r.Float64())/total)
		z1 := []float64{0, 1, 4, 0.01}[r.IntN(4)]
		m := &equilibrium.Medium{
			A: 0.51, LnK0: []float64{0, -20 + 20*r.Float64()}, DZ2: []float64{0, 4*r.Float64() - 2}, DEps: []float64{0, -math.Exp(6*r.Float64() - 5)},
			Z2: []float64{z1, z2}, CompZ2: []float64{0}, CompEps: []float64{0},
		}
		own := func(ionic float64) float64 {
			k := math.Exp(m.LnK0[1] + math.Ln10*(m.DZ2[1]*0.51*math.Sqrt(ionic)/(1+1.5*math.Sqrt(ionic))-m.DEps[1]*ionic))
			metal := 2 * total / (1 + math.Sqrt(1+8*k*total))
			return 0.5 * (z1*metal + z2*k*metal*metal)
		}
		ends := false
		for i := 1e-9; i < 1000; i *= 1.003 {
			ends = ends || own(i) < i
		}
		err := w.Solve(&equilibrium.Conditions{Total: []float64{total}, Medium: m}, answer)
		if !ends && own(999.9) > 999.9 {
			require.ErrorIs(t, err, equilibrium.ErrIonicStrength)
			refusals++
		} else if ends {
			require.NoError(t, err)
			require.LessOrEqual(t, answer.Ionic, 1000.0)
			require.InEpsilon(t, own(answer.Ionic), answer.Ionic, 1e-8)
			answers++
		}
	}
	t.Log(answers, refusals)
	require.Greater(t, answers, 400)
	require.Greater(t, refusals, 40)
}
