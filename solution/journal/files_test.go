package journal

import (
	"os"
	"path/filepath"
	"slices"
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
