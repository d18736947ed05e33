package journal

import (
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/solution/internal/demo"
)

// whenFull runs something while no file may grow beyond so many bytes, as on a disk that fills
// up in the middle of a line.
func whenFull(t *testing.T, bytes int, do func()) {
	t.Helper()
	var usual syscall.Rlimit
	require.NoError(t, syscall.Getrlimit(syscall.RLIMIT_FSIZE, &usual))
	require.NoError(t, syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: uint64(bytes), Max: usual.Max}))
	defer func() { require.NoError(t, syscall.Setrlimit(syscall.RLIMIT_FSIZE, &usual)) }()
	do()
}

const alone = "JOURNAL_TEST_ALONE"

// byItself runs a test again as a program of its own, whose files nobody else writes, and tells
// whether this is it.
func byItself(t *testing.T) bool {
	t.Helper()
	if os.Getenv(alone) != "" {
		return true
	}
	program := exec.Command(os.Args[0], "-test.run", "^"+t.Name()+"$")
	program.Env = append(os.Environ(), alone+"=1")
	said, err := program.CombinedOutput()
	require.NoError(t, err, "%s", said)
	return false
}

// A disk that is full at any byte of a line loses nothing: the file is cut back to what it was,
// the journal stays as it was, and once there is room the event goes in as if it were the first
// time. All of several events are written, or none.
func TestFullDisk(t *testing.T) {
	if !byItself(t) {
		return
	}
	std := demo.Tables(t)
	path := filepath.Join(t.TempDir(), "bath.jsonl")
	j := write(t, path, life()[:2])
	before, err := os.ReadFile(path)
	require.NoError(t, err)
	next, err := j.Line(life()[2])
	require.NoError(t, err)
	for n := 0; n < len(next); n += 7 {
		for _, events := range [][]Event{life()[2:3], life()[2:4]} {
			whenFull(t, len(before)+n, func() { err = j.Append(events...) })
			require.ErrorIs(t, err, syscall.EFBIG, "%d bytes of %d", n, len(next))
			require.Len(t, j.Events(), 2)
			left, err := os.ReadFile(path)
			require.NoError(t, err)
			require.Equal(t, string(before), string(left))
		}
	}
	whenFull(t, len(before)+len(next), func() { err = j.Append(life()[2]) })
	require.NoError(t, err)
	again, err := Open(std, path)
	require.NoError(t, err)
	require.Equal(t, life()[:3], again.Events())
	require.Nil(t, again.Torn())
}

// A repair for which there is no room is told as one, with what is wrong.
func TestRepairOnAFullDisk(t *testing.T) {
	if !byItself(t) {
		return
	}
	std, dir := demo.Tables(t), t.TempDir()
	path := filepath.Join(dir, "bath.jsonl")
	write(t, path, life())
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, append(data, "spilled\n"...), 0o600))
	var told []error
	whenFull(t, len(data)-1, func() { told, err = Repair(std, path, filepath.Join(dir, "short.jsonl")) })
	require.ErrorIs(t, err, syscall.EFBIG)
	require.Len(t, told, 1)
	whenFull(t, len(data), func() { told, err = Repair(std, path, filepath.Join(dir, "mended.jsonl")) })
	require.NoError(t, err)
	require.Len(t, told, 1)
	mended, err := os.ReadFile(filepath.Join(dir, "mended.jsonl"))
	require.NoError(t, err)
	require.Equal(t, string(data), string(mended))
}
