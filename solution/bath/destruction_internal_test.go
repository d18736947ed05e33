package bath

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// What is left of a destroyed chelant, by its charges counted by hand: citrate has lost one
// of three carboxylates, an amine an arm, and holds a hydrogen ion where that was. Two
// iron(III) take the two electrons; nothing is made or lost.
func TestDestruction(t *testing.T) {
	std, err := tables.Standard()
	require.NoError(t, err)
	for ligand, idle := range map[string]float64{"cit3-": 2, "edta4-": 2, "nta3-": 1, "ida2-": 0, "dtpa5-": 3} {
		species, err := std.Notation().ParseSpecies(ligand)
		require.NoError(t, err)
		r, err := destruction(species)
		require.NoError(t, err, ligand)
		require.NoError(t, r.Check(), ligand)
		of := func(text string) float64 {
			s, err := chem.ParseSpecies(text)
			require.NoError(t, err)
			return r.Coefficient(s)
		}
		require.InDelta(t, idle, of("Cl-"), 0, ligand)
		require.InDelta(t, -2, of("Fe3+"), 0, ligand)
		require.InDelta(t, 1, of("H2CO3"), 0, ligand)
		require.InDelta(t, -1, r.Coefficient(species), 0, ligand)
	}
}
