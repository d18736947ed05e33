package journal

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/solution/internal/demo"
)

// What a journal leaves in its folder all may read and none but its owner write, and none
// of it is a program.
func TestFilesOfAJournal(t *testing.T) {
	dir := t.TempDir()
	j, err := Create(demo.Tables(t), filepath.Join(dir, "bath.jsonl"))
	require.NoError(t, err)
	require.NoError(t, j.Append(life()[:2]...))
	files := 0
	require.NoError(t, filepath.WalkDir(dir, func(path string, f os.DirEntry, err error) error {
		if err != nil || f.IsDir() {
			return err
		}
		info, err := f.Info()
		require.NoError(t, err)
		require.Zero(t, info.Mode().Perm()&^0o644, "%s %v", path, info.Mode())
		require.NotZero(t, info.Mode().Perm()&0o400, path)
		files++
		return nil
	}))
	require.Greater(t, files, 1)
}
