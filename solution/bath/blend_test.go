package bath_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/internal/demo"
)

// Blending conserves, and the blend takes what the two could together, nearly.
func TestBlend(t *testing.T) {
	old, fresh := demo.Mix(t, demo.Recipe(t)), demo.Mix(t, demo.Recipe(t))
	o := demo.Oxide(t, "lepidocrocite")
	require.NoError(t, old.Dissolve(o, 40*measure.Gram))
	a, err := old.Holdings()
	require.NoError(t, err)
	litres := fresh.Litres() + old.Litres()
	require.NoError(t, fresh.Blend(old))
	both, err := fresh.Holdings()
	require.NoError(t, err)
	require.InDelta(t, 2*a[0].TotalMoles, both[0].TotalMoles, 1e-9)
	require.InDelta(t, a[0].IronMoles, both[0].IronMoles, 0.01*a[0].IronMoles)
	require.InDelta(t, litres, fresh.Litres(), 1e-9)
}
