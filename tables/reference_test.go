package tables

import (
	"io/fs"
	"reflect"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
)

// referenceTables loads the reference tables without the constants, which they
// do not lean on.
func referenceTables(t testing.TB) *Tables {
	t.Helper()
	loaded, err := loadReferenceFrom(Data())
	require.NoError(t, err)
	return loaded
}

func loadReferenceFrom(data fs.FS) (*Tables, error) {
	t := &Tables{lists: map[reflect.Type]any{}}
	for _, step := range []func([]fs.FS) error{t.loadSources, t.loadComponents, t.loadReference} {
		if err := step([]fs.FS{data}); err != nil {
			return nil, err
		}
	}
	return t, nil
}

// changed returns the library's own data with one file replaced.
func changed(t testing.TB, file, content string) fs.FS {
	t.Helper()
	data := Data()
	files := fstest.MapFS{}
	require.NoError(t, fs.WalkDir(data, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		text, err := fs.ReadFile(data, name)
		files[name] = &fstest.MapFile{Data: text}
		return err
	}))
	require.Contains(t, files, file)
	files[file] = &fstest.MapFile{Data: []byte(content)}
	return files
}

// refusedAt checks that data were refused for a cell in a column.
func refusedAt(t *testing.T, err error, file, column, name string) {
	t.Helper()
	require.ErrorIs(t, err, ErrData, name)
	require.ErrorIs(t, err, chem.ErrInput, name)
	var at *chem.InputError
	require.ErrorAs(t, err, &at, name)
	assert.Regexp(t, "^"+file+` line \d+, column `+column+"$", at.Field, "%s: %v", name, err)
}

// content returns a data file as text.
func content(t testing.TB, file string) string {
	t.Helper()
	text, err := embedded.ReadFile("data/" + file)
	require.NoError(t, err)
	return string(text)
}
