package tables

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
)

// A strong chelant of a caller's finds its constants in a file of its symbol, whether or not
// that is among its synonyms: 5-sulfosalicylate, log K of its first proton 11.85 at 25 °C and
// I = 0.1 (NIST SRD 46, row 160810).
func TestFileOfASymbol(t *testing.T) {
	rows := fstest.MapFS{
		"components.csv": {Data: []byte("species,composition,name,role,class,synonyms\nssal3-,C7H3O6S^3-,sulfosalicylate,ligand,strong chelant,\n")},
		"constants/ssal.csv": {Data: []byte("reaction,quantity,temperature_c,ionic_strength_mol_l,medium,value,uncertainty,use,source,note\n" +
			"ssal3- + H+ = Hssal2-,log K,25,0.1,,11.85,0.05,fit,nist46,row 160810\n")},
	}
	more, err := standardTables(t).With(rows)
	require.NoError(t, err)
	f, err := more.Formation("Hssal2-")
	require.NoError(t, err)
	assert.InDelta(t, 11.85, f.Constant.Log10K(chem.Celsius(25), 0.1), 0.02)
	rows["constants/other.csv"] = rows["constants/ssal.csv"]
	delete(rows, "constants/ssal.csv")
	_, err = standardTables(t).With(rows)
	assert.ErrorContains(t, err, "rows of ssal3- in a file of its symbol or name")
}
