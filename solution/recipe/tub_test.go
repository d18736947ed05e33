package recipe_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/solution/recipe"
)

// The surface is what the volume grows by with depth, and by geometry that of a circle half
// way up a bucket; below the bottom and above the rim it is that of the end.
func TestSurface(t *testing.T) {
	bucket := recipe.Tub{Bottom: [2]unit.Length{0.26, 0.26}, Rim: [2]unit.Length{0.30, 0.30}, Height: 0.36, Round: true}
	require.InEpsilon(t, math.Pi/4*0.28*0.28, float64(bucket.Surface(0.18)), 1e-12)
	const dz = 1e-4
	for _, z := range []unit.Length{0.05, 0.2, 0.3} {
		require.InEpsilon(t, float64(bucket.Volume(z+dz)-bucket.Volume(z-dz))/(2*dz), float64(bucket.Surface(z)), 1e-6)
	}
	require.Equal(t, bucket.Surface(0.36), bucket.Surface(1))
	require.Equal(t, bucket.Surface(0), bucket.Surface(-1))
	require.Zero(t, recipe.Tub{}.Surface(1))
}

// A part that stands out displaces what of it is under: 4 L of metal over 40 cm in a box of
// 0.2 m² leave 20 L of bath at 0.02/(0.2 − 0.004/0.4) m, 10.526 cm.
func TestLevelAroundWhatStandsOut(t *testing.T) {
	box := recipe.Tub{Bottom: [2]unit.Length{0.5, 0.4}, Rim: [2]unit.Length{0.5, 0.4}, Height: 0.45}
	level, err := box.Level(0.02, recipe.Part{Height: 0.4, Volume: 0.004})
	require.NoError(t, err)
	require.InDelta(t, 0.02/0.19, float64(level), 1e-6)
}
