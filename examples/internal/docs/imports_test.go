package docs

import (
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// floors is the house from the ground up: a room imports rooms of lower floors and
// none of its own.
var floors = [][]string{
	{"chem"},
	{"chem/equilibrium", "chem/measure"},
	{"tables"},
	{"solution"},
	{"solution/titration", "solution/reading", "solution/bath"},
	{"solution/rust", "solution/care"},
	{"solution/recipe"},
	{"solution/journal"},
}

// A room answers for what it imports through an internal folder as well.
func TestImportsRunDownwards(t *testing.T) {
	floor := map[string]int{}
	for n, rooms := range floors {
		for _, name := range rooms {
			floor[name] = n
		}
	}
	var look func(folder string, own int)
	look = func(folder string, own int) {
		set, files := parse(t, folder)
		for _, f := range files {
			if strings.HasSuffix(set.Position(f.Pos()).Filename, "_test.go") {
				continue
			}
			for _, x := range f.Imports {
				path, err := strconv.Unquote(x.Path.Value)
				require.NoError(t, err)
				other, ours := strings.CutPrefix(path, module)
				if !ours {
					continue
				}
				if strings.Contains(other, "/internal/") {
					look(filepath.Join("..", "..", "..", filepath.FromSlash(other)), own)
					continue
				}
				to, known := floor[other]
				assert.True(t, known && to < own, "%s imports %s, which is not below it", set.Position(x.Pos()), other)
			}
		}
	}
	seen := 0
	for _, folder := range libraries(t) {
		own, known := floor[room(t, folder)]
		if assert.True(t, known, "%s is no room of the house: give it a floor, and a line in DEVELOPERS.md", folder) {
			seen++
			look(folder, own)
		}
	}
	assert.Equal(t, len(floor), seen, "rooms of the list that are gone")
}
