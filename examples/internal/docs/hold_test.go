package docs

import (
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// room names a folder of the module as an import path does.
func room(t *testing.T, folder string) string {
	path, err := filepath.Rel(filepath.Join("..", "..", ".."), folder)
	require.NoError(t, err)
	return filepath.ToSlash(path)
}

// hold fails for each trouble whose name begins so.
func hold(t *testing.T, law string, troubles map[string]string) {
	t.Helper()
	for _, name := range slices.Sorted(maps.Keys(troubles)) {
		if strings.HasPrefix(name, law) {
			t.Errorf("%s: %s", name, troubles[name])
		}
	}
}
