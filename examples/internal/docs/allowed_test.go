package docs

import (
	"maps"
	"os"
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

// hold fails for each trouble whose name begins so and that testdata/allowed.txt
// does not list, and for each that is listed and gone.
func hold(t *testing.T, law string, troubles map[string]string) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("testdata", "allowed.txt"))
	require.NoError(t, err)
	allowed := map[string]bool{}
	for line := range strings.Lines(string(text)) {
		if line = strings.TrimSpace(line); strings.HasPrefix(line, law) {
			allowed[line] = true
			if _, still := troubles[line]; !still {
				t.Errorf("%s: listed in allowed.txt, and mended", line)
			}
		}
	}
	for _, name := range slices.Sorted(maps.Keys(troubles)) {
		if strings.HasPrefix(name, law) && !allowed[name] {
			t.Errorf("%s: %s", name, troubles[name])
		}
	}
}
