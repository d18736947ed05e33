package journal

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/chelation/solution/internal/demo"
)

// Striking an event out leaves the bath as if it had not happened, striking that
// out brings it back, and an amended event counts as it is amended last.
func TestStruckAndAmended(t *testing.T) {
	std, events := demo.Tables(t), life()
	then := events[len(events)-1].At
	ph := func(events ...Event) float64 {
		l, err := Replay(std, events...)
		require.NoError(t, err)
		st, err := l.Bath().State()
		require.NoError(t, err)
		return st.PH
	}
	strike := func(n int) Event { return Event{At: then, Kind: Struck, Number: n, Note: "entered twice"} }
	amend := func(n int, e Event) Event {
		return Event{At: then, Kind: Amended, Number: n, As: []Event{e}, Note: "the scale said so"}
	}
	without := append(append([]Event(nil), events[:1]...), events[2:]...)
	require.Equal(t, ph(without...), ph(append(life(), strike(2))...))
	require.Equal(t, ph(events...), ph(append(life(), strike(2), strike(6))...))
	more, less := events[1], events[1]
	more.MassGrams, less.MassGrams = 90, 70
	amended := life()
	amended[1] = less
	require.Equal(t, ph(amended...), ph(append(life(), amend(2, more), amend(2, less))...))
	require.Equal(t, ph(events...), ph(append(life(), amend(2, less), strike(6))...))

	l, err := Replay(std, events...)
	require.NoError(t, err)
	before := l.Tally()
	for _, bad := range []Event{strike(0), strike(6), strike(-1), strike(1), {At: then, Kind: Struck, Number: 2}, amend(2, strike(1)), amend(2, Event{At: then, Kind: Evaporated, VolumeLitres: 100})} {
		require.Error(t, l.Apply(bad), "%+v", bad)
		require.Equal(t, before, l.Tally())
	}
	require.NoError(t, l.Apply(strike(3)))
	require.Zero(t, l.Tally().RustGrams)
	require.Equal(t, len(events)+1, l.Tally().Events, "history stays")
}

// A clock that jumps does not harm the file.
func TestClockThatJumps(t *testing.T) {
	path := filepath.Join(t.TempDir(), "tub.jsonl")
	events := life()
	events[1].At = time.Date(2099, 1, 1, 0, 0, 0, 999, time.UTC)
	write(t, path, events)
	j, err := Open(demo.Tables(t), path)
	require.NoError(t, err)
	require.Len(t, j.Events(), len(events))
	require.Zero(t, j.Events()[1].At.Nanosecond())
}

// An end of the file that is gone is noticed, what is sound is read, and a repaired
// copy opens.
func TestRepair(t *testing.T) {
	std := demo.Tables(t)
	path := filepath.Join(t.TempDir(), "tub.jsonl")
	events := append(life(), Event{At: life()[4].At, Kind: Struck, Number: 4, Note: "nothing dripped"})
	write(t, path, events)
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	lines := bytes.SplitAfter(data, []byte("\n"))

	require.NoError(t, os.WriteFile(path, bytes.Join(lines[:4], nil), 0o600))
	_, err = Open(std, path)
	require.ErrorIs(t, err, ErrDamage)
	require.ErrorContains(t, err, "2 more events")

	// One digit changed by hand, in the third line.
	require.NoError(t, os.WriteFile(path, bytes.Replace(data, []byte(`"rust_g":24`), []byte(`"rust_g":25`), 1), 0o600))
	_, err = Open(std, path)
	require.ErrorContains(t, err, "line 3")
	left, err := Repair(std, path, path+".repaired")
	require.NoError(t, err)
	require.Len(t, left, 1)
	j, err := Open(std, path+".repaired")
	require.NoError(t, err)
	require.Len(t, j.Events(), len(events)-1)
	require.Zero(t, j.Life().Tally().RustGrams)
	require.Greater(t, j.Life().Bath().Litres(), 20.0, "what was struck out stays so, though the numbers moved")

	// What editors leave does no harm.
	edited := append([]byte("\uFEFF"), bytes.ReplaceAll(append(data, '\n'), []byte("\n"), []byte("\r\n"))...)
	require.NoError(t, os.WriteFile(path, edited, 0o600))
	j, err = Open(std, path)
	require.NoError(t, err)
	require.NoError(t, j.Append(life()[3]))
	j, err = Open(std, path)
	require.NoError(t, err)
	require.Len(t, j.Events(), len(events)+1)
}

// What follows a line that is none, or that stood before in another shape, may follow one that
// was lost: it cannot be tested and is kept, and only the line itself is told. The line after
// it is tested again.
func TestWhatFollowsAStrangeLine(t *testing.T) {
	std, dir := demo.Tables(t), t.TempDir()
	linesOf := func(name string, events []Event) [][]byte {
		write(t, filepath.Join(dir, name), events)
		data, err := os.ReadFile(filepath.Join(dir, name))
		require.NoError(t, err)
		return bytes.SplitAfter(data, []byte("\n"))
	}
	other := life()
	other[1].MassGrams = 90
	own, foreign := linesOf("own", life()), linesOf("foreign", other)
	for name, strange := range map[string][]byte{"not a line": []byte("spilled\n"), "the second as it was before": foreign[1]} {
		for changed, left := range map[string]int{`"v":1`: 1, `"volume_l":0.3`: 2} { // nothing more, or the line after the next
			path := filepath.Join(dir, fmt.Sprint(name, left))
			text := bytes.Join([][]byte{own[0], own[1], strange, foreign[2], foreign[3], foreign[4]}, nil)
			text = bytes.ReplaceAll(text, []byte(changed), map[int][]byte{1: []byte(changed), 2: []byte(`"volume_l":0.4`)}[left])
			require.NoError(t, os.WriteFile(path, text, 0o600))
			told, err := Repair(std, path, path+".mended")
			require.NoError(t, err)
			require.Len(t, told, left, "%v", told)
			require.ErrorContains(t, told[0], "line 3")
			j, err := Open(std, path+".mended")
			require.NoError(t, err)
			require.Len(t, j.Events(), 6-left)
			require.InDelta(t, life()[1].MassGrams, j.Events()[1].MassGrams, 1e-12)
			require.Equal(t, Dipped, j.Events()[2].Kind)
		}
	}
}

const writerOf = "JOURNAL_TEST_WRITER"

// TestWriter is the program of [TestManyWriters]: it notes events and says each that
// was confirmed.
func TestWriter(t *testing.T) {
	path, name, ok := strings.Cut(os.Getenv(writerOf), "|")
	if !ok {
		t.Skip("run by another test")
	}
	j, err := Open(demo.Tables(t), path)
	require.NoError(t, err)
	for n := 0; ; n++ {
		note := fmt.Sprintf("%s-%d", name, n)
		require.NoError(t, j.Append(Event{At: time.Now(), Kind: Reading, PH: number(7), ResolutionPH: 1, Note: note}))
		fmt.Println("noted " + note)
	}
}

var (
	writers = flag.Int("writers", 4, "programs that write to one journal at once")
	each    = flag.Int("events", 10, "that each of them is to get confirmed")
	longest = flag.Duration("longest", 1300*time.Millisecond, "before a program is killed, at random from 0.3 s on, and started again")
)

// Programs that note events at once and are killed at random lose nothing that was
// confirmed, and the file stays sound.
func TestManyWriters(t *testing.T) {
	if testing.Short() {
		t.Skip("starts programs")
	}
	path := filepath.Join(t.TempDir(), "tub.jsonl")
	write(t, path, life()[:1])
	said := make(chan []string)
	for k := range *writers {
		draw := rand.New(rand.NewPCG(1, uint64(k)))
		go func() {
			var confirmed []string
			const shortest, mostLives = 300 * time.Millisecond, 5000
			for round := 0; round < mostLives && len(confirmed) < *each; round++ {
				ctx, cancel := context.WithTimeout(t.Context(), shortest+time.Duration(draw.Int64N(int64(*longest-shortest))))
				cmd := exec.CommandContext(ctx, os.Args[0], "-test.run=^TestWriter$")
				cmd.Env = append(os.Environ(), fmt.Sprintf("%s=%s|%d.%d", writerOf, path, round, k))
				out, _ := cmd.Output() // killed
				cancel()
				for line := range strings.Lines(string(out)) {
					if note, ok := strings.CutPrefix(strings.TrimSuffix(line, "\n"), "noted "); ok && strings.HasSuffix(line, "\n") {
						confirmed = append(confirmed, note)
					}
				}
			}
			said <- confirmed
		}()
	}

	noted := map[string]bool{}
	var confirmed []string
	for range *writers {
		of := <-said
		require.GreaterOrEqual(t, len(of), *each)
		confirmed = append(confirmed, of...)
	}
	j, err := Open(demo.Tables(t), path)
	require.NoError(t, err)
	for _, e := range j.Events() {
		require.False(t, noted[e.Note], e.Note)
		noted[e.Note] = true
	}
	for _, note := range confirmed {
		require.True(t, noted[note], note)
	}
	t.Logf("%d confirmed, %d in the file", len(confirmed), len(j.Events())-1)
}
