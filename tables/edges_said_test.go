package tables

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
)

// A strength of 100 % and one of a tenth are liquids, what lies beyond is none; a water as hard as a
// brine of 1 mol/L is one, and none is harder.
func TestEndsOfWhatIsSaid(t *testing.T) {
	std := standardTables(t)
	for name, taken := range map[string]bool{"vinegar 100 %": true, "vinegar 100.1 %": false, "vinegar 0.1 %": true, "vinegar 0.0999 %": false} {
		_, err := std.Reagent(name)
		require.Equal(t, taken, err == nil, "%s: %v", name, err)
	}
	for text, taken := range map[string]bool{"1000 mmol/L": true, "1001 mmol/L": false, "0 mmol/L": true, "-0.001 mmol/L": false} {
		_, err := std.ParseHardness(text)
		if taken {
			require.NoError(t, err, text)
		} else {
			require.ErrorIs(t, err, chem.ErrInput, text)
			require.ErrorContains(t, err, "from 0 to 1000 mmol/L")
		}
	}
}
