package tables

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A list in a cell is parted by single semicolons; an entry of nothing is a slip of the
// hand, wherever it stands.
func TestListsHaveNoEmptyEntries(t *testing.T) {
	std := standardTables(t)
	load := func(synonyms string) error {
		own := malonate()
		own["names.csv"] = "species,name,synonyms\nH2mal,malonic acid," + synonyms + "\n"
		_, err := std.With(files(own))
		return err
	}
	assert.NoError(t, load("propanedioic acid;methanedicarboxylic acid"))
	assert.NoError(t, load(""))
	for _, bad := range []string{"propanedioic acid;;methanedicarboxylic acid", ";propanedioic acid", "propanedioic acid;", ";"} {
		assert.ErrorContains(t, load(bad), "entries separated by single semicolons", bad)
	}
}
