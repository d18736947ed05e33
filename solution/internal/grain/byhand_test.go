package grain

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// The quadratic of both laws by hand, for what a layer may hold: j meets them at once, −du/dt is j over
// the 3 N u² that a size holds, and nothing goes where there is no free chelant.
func TestShrinkMeetsBothLaws(t *testing.T) {
	for _, iron := range []float64{0.2, 1, 3} {
		for _, film := range []float64{1e-6, 1e-5} {
			r := Rust{Iron: iron, Half: 1.5, Film: film}
			const seconds, square, free, affinity = 4e4, 0.4, 20, 0.7
			j := r.Shrink(seconds, square, free, affinity) * 3 * iron * square
			surface := free - j/film // of the chelant
			require.Positive(t, surface)
			require.InEpsilon(t, 3*iron*square*affinity/seconds*surface/(1.5+surface), j, 1e-9)
			require.Zero(t, r.Shrink(seconds, square, 0, affinity))
			require.Zero(t, r.Shrink(seconds, square, -1, affinity))
		}
	}
}

// Of 50 kJ/mol ten degrees more make nearly twice as fast, the rule of thumb: exp(50000/8.3145 (1/293.15 −
// 1/303.15)) = 1.967; diffusion follows T/η, 313.15/293.15 × 1.002/0.653 from 20 to 40 °C, within 1 %.
func TestFasterInTheWarm(t *testing.T) {
	require.InDelta(t, 1.967, Arrhenius(50, 293.15, 303.15), 0.001)
	require.InEpsilon(t, 1/Arrhenius(50, 303.15, 293.15), Arrhenius(50, 293.15, 303.15), 1e-12)
	require.InEpsilon(t, 313.15/293.15*1.002/0.653, Diffusion(293.15, 313.15), 0.01)
	require.InDelta(t, 1, Arrhenius(70, 300, 300), 1e-15)
}
