package recipe_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/demo"
)

// A lower start takes more rust unattended, wants more acid, and puts more
// steel at risk.
func TestStarts(t *testing.T) {
	r := demo.Recipe(t)
	starts, err := r.Starts(demo.Tables(t), demo.Oxide(t, "lepidocrocite"), 9, 8, 7, 6, 5)
	require.NoError(t, err)
	for i, s := range starts[1:] {
		require.Greater(t, s.Acid, starts[i].Acid)
		require.Greater(t, s.Proton.IronMoles, starts[i].Proton.IronMoles)
		require.GreaterOrEqual(t, s.Steel, starts[i].Steel)
	}
	require.Zero(t, starts[2].Steel)
	require.Positive(t, starts[3].Steel)
	_, err = r.Starts(demo.Tables(t), demo.Oxide(t, "lepidocrocite"), 1)
	require.ErrorIs(t, err, chem.ErrInput)
}
