package tables

import (
	"io/fs"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"
)

// referenceTables loads the reference tables without the constants, which they
// do not lean on.
func referenceTables(t testing.TB) *Tables {
	t.Helper()
	data, err := fs.Sub(embedded, "data")
	require.NoError(t, err)
	loaded, err := loadReferenceFrom(data)
	require.NoError(t, err)
	return loaded
}

func loadReferenceFrom(data fs.FS) (*Tables, error) {
	t := new(Tables)
	for _, step := range []func(fs.FS) error{t.loadSources, t.loadComponents, t.loadReference} {
		if err := step(data); err != nil {
			return nil, err
		}
	}
	return t, nil
}

// changed returns the library's own data with one file replaced.
func changed(t testing.TB, file, content string) fs.FS {
	t.Helper()
	data, err := fs.Sub(embedded, "data")
	require.NoError(t, err)
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

// content returns a data file as text.
func content(t testing.TB, file string) string {
	t.Helper()
	text, err := embedded.ReadFile("data/" + file)
	require.NoError(t, err)
	return string(text)
}
