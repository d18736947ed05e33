package tables

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A name of many words is looked up word by word, and near ones are sought once for all of
// them: a name of 1 MB took 43 s when they were sought for each.
func TestManyWords(t *testing.T) {
	tables := standardTables(t)
	const words = 1000
	name := strings.Repeat("kryptonite ", words)
	assert.Less(t, testing.AllocsPerRun(1, func() {
		_, err := tables.Material(name)
		assert.ErrorIs(t, err, ErrNotFound)
	}), 20.0*words)
	m, err := tables.Material(name + "galvanised bolts")
	assert.NoError(t, err)
	assert.Equal(t, StaysOut, m.Admission)
}
