package journal

import (
	"bytes"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
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

// A refusal counts events from one, and of a water that was tested all that a water needs has
// to be told, whichever of its figures is there.
func TestRefusalsByNumber(t *testing.T) {
	std := demo.Tables(t)
	events := life()[:2]
	for n, spoil := range []func(e *Event){
		func(e *Event) { e.WaterPH = 7.6 },
		func(e *Event) { e.AlkalinityMgPerLitre = 120 },
		func(e *Event) { e.HardnessMgPerLitre = 150 },
		func(e *Event) { e.HardnessMgPerLitre, e.WaterPH = 150, 7.6 },
	} {
		e := Event{At: events[1].At, Kind: Watered, VolumeLitres: 1, Water: "the well"}
		spoil(&e)
		_, err := Replay(std, append(slices.Clone(events), e)...)
		require.ErrorIs(t, err, chem.ErrInput, "%d", n)
		require.ErrorContains(t, err, "event 3: ")
		require.ErrorContains(t, err, "an alkalinity and a pH along with a hardness")
	}
	whole := Event{At: events[1].At, Kind: Watered, VolumeLitres: 1, Water: "the well", AlkalinityMgPerLitre: 120, WaterPH: 7.6}
	_, err := Replay(std, append(slices.Clone(events), whole)...)
	require.NoError(t, err)
}

// What another program does to the file after it was read is told with the next event, by its
// line, and nothing is written: one line more that is none, an event changed on the way, a line
// lost.
func TestDamagedSinceItWasRead(t *testing.T) {
	std := demo.Tables(t)
	text := func(events []Event) []byte {
		path := filepath.Join(t.TempDir(), "other.jsonl")
		write(t, path, events)
		data, err := os.ReadFile(path)
		require.NoError(t, err)
		return data
	}
	sound := text(life()[:3])
	for name, c := range map[string]struct {
		file []byte
		told string
	}{
		"scribble":     {slices.Concat(sound, []byte("vise\n")), "damaged in line 4"},
		"changed":      {bytes.Replace(text(life()[:4]), []byte(`"volume_l":0.3`), []byte(`"volume_l":0.4`), 1), "damaged in line 4"},
		"two of them":  {slices.Concat(sound, []byte("vise\nvise\n")), "damaged in line 4"},
		"shorter":      {text(life()[:2]), "damaged in line 3"},
		"nothing left": {nil, "damaged in line 1"},
	} {
		path := filepath.Join(t.TempDir(), "bath.jsonl")
		j := write(t, path, life()[:3])
		require.NoError(t, os.WriteFile(path, c.file, 0o600))
		err := j.Append(life()[4])
		require.ErrorIs(t, err, ErrDamage, name)
		require.ErrorContains(t, err, c.told, name)
		require.Len(t, j.Events(), 3, name)
		left, err := os.ReadFile(path)
		require.NoError(t, err)
		require.Equal(t, string(c.file), string(left), name)
	}
	// and where the count beside it cannot be kept, that is told too
	path := filepath.Join(t.TempDir(), "bath.jsonl")
	j := write(t, path, life()[:3])
	require.NoError(t, os.Mkdir(beside(path)+".new", 0o700))
	require.ErrorIs(t, j.Append(life()[3]), syscall.EISDIR)
	again, err := Open(std, path)
	require.NoError(t, err)
	require.Equal(t, life()[:4], again.Events(), "the event itself is there")
	require.NoError(t, os.Remove(beside(path)))
	require.NoError(t, os.Mkdir(beside(path), 0o700))
	_, err = Open(std, path)
	require.ErrorIs(t, err, ErrDamage, "a count that cannot be read")
}

// A repair that cannot be written says so, and with it what is wrong with the file, which stays
// as it is: no folder, a file under that name, no place for the count, nothing sound to keep.
func TestRepairsThatCannotBeWritten(t *testing.T) {
	std, dir := demo.Tables(t), t.TempDir()
	path := filepath.Join(dir, "bath.jsonl")
	write(t, path, life())
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	data = bytes.Replace(data, []byte(`"rust_g":24`), []byte(`"rust_g":25`), 1)
	require.NoError(t, os.WriteFile(path, data, 0o600))
	blocked := filepath.Join(dir, "blocked.jsonl")
	require.NoError(t, os.Mkdir(beside(blocked)+".new", 0o700))
	for to, want := range map[string]error{filepath.Join(dir, "none", "bath.jsonl"): fs.ErrNotExist, path: fs.ErrExist, blocked: syscall.EISDIR} {
		told, err := Repair(std, path, to)
		require.ErrorIs(t, err, want)
		require.Len(t, told, 1)
		require.ErrorContains(t, told[0], "line 3")
	}
	left, err := os.ReadFile(path)
	require.NoError(t, err)
	require.Equal(t, string(data), string(left))
	_, err = Repair(std, filepath.Join(dir, "none.jsonl"), filepath.Join(dir, "mended.jsonl"))
	require.ErrorIs(t, err, fs.ErrNotExist)
	require.NoError(t, os.WriteFile(path, []byte("spilled\n"), 0o600))
	_, err = Repair(std, path, filepath.Join(dir, "mended.jsonl"))
	require.ErrorIs(t, err, ErrDamage)
	require.ErrorIs(t, err, fs.ErrInvalid)
	require.NoFileExists(t, filepath.Join(dir, "mended.jsonl"))
}

// A folder that is gone cannot make a name in it last, and that is told as what it is.
func TestFolderThatIsGone(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, syncFolder(dir))
	require.ErrorIs(t, syncFolder(filepath.Join(dir, "gone")), fs.ErrNotExist)
}

// A file of 64 MB, 2²⁶ bytes, is looked at; one of a byte more is no journal and is not read.
func TestLargestFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "bath.jsonl")
	require.NoError(t, os.WriteFile(path, nil, 0o600))
	require.NoError(t, os.Truncate(path, 1<<26))
	data, err := read(path)
	require.NoError(t, err)
	require.Len(t, data, 1<<26)
	require.NoError(t, os.Truncate(path, 1<<26+1))
	_, err = Open(demo.Tables(t), path)
	require.ErrorIs(t, err, chem.ErrInput)
	require.ErrorContains(t, err, "at most 64 MB")
}
