package care_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/solution/care"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/tables"
)

// What was asked for is repeated where the material goes by another name, and only
// there: neither for its id nor for a word of its name, one or several of it.
func TestAskedInOtherWords(t *testing.T) {
	std := demo.Tables(t)
	m, err := std.Material("chrome plate")
	require.NoError(t, err)
	for name, repeated := range map[string]string{m.ID: "", m.Name: "", "galvanised bolt": "galvanised bolt", "springs": ""} {
		parts, err := care.Work{Materials: []string{name}}.Parts(std)
		require.NoError(t, err, name)
		require.Len(t, parts, 1)
		assert.Equal(t, repeated, parts[0].Asked, "%s, %s", name, parts[0].Material)
		words := strings.ToLower(parts[0].Text())
		assert.Contains(t, words, strings.ToLower(parts[0].Material))
		assert.Contains(t, words, repeated)
	}
}

// A metal of two spellings is told in the one that was asked in (IUPAC, Red Book 2005, table
// I, from memory: aluminium, with aluminum beside it).
func TestSpelling(t *testing.T) {
	for asked, told := range map[string]string{"aluminum": "Aluminum stays out.", "aluminium": "Aluminium stays out.", "Aluminum": "Aluminum stays out.", "galvanised bolt": "Galvanised bolt (zinc) stays out."} {
		parts, err := care.Work{Materials: []string{asked}}.Parts(demo.Tables(t))
		require.NoError(t, err, asked)
		assert.True(t, strings.HasPrefix(parts[0].Text(), told), parts[0].Text())
	}
}

// The drain: of a bath of EDTA what is known of EDTA, and once.
func TestFateOfWhatIsInTheBath(t *testing.T) {
	std := demo.Tables(t)
	fates, err := care.Fates(demo.Mix(t, demo.Recipe(t)))
	require.NoError(t, err)
	require.Len(t, fates, 1)
	known, err := tables.Find[tables.Fate](std, "edta4-")
	require.NoError(t, err)
	assert.Contains(t, fates[0], known.Text)
}
