package journal

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"slices"

	"example.com/chelation/tables"
)

// ErrChanged is wrapped when another program wrote to the file meanwhile: open
// it again.
var ErrChanged = errors.New("the file has changed since it was read")

// Journal is a file of events with the bath that they lead to, from [Create] or
// [Open].
type Journal struct {
	path string
	life Life
	content
}

// Create starts an empty journal. A file that exists already is left alone and
// gives an error that wraps fs.ErrExist.
func Create(t *tables.Tables, path string) (*Journal, error) {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644)
	if err != nil {
		return nil, err
	}
	if err := errors.Join(f.Sync(), f.Close(), syncFolder(filepath.Dir(path))); err != nil {
		return nil, err
	}
	return &Journal{path: path, life: Life{tables: t}}, nil
}

// Open reads a journal and replays it. A file that was tampered with gives a
// [*chem.InputError]; a torn last line does not: see [Journal.Torn].
func Open(t *tables.Tables, path string) (*Journal, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	j, err := Read(t, f)
	if err != nil {
		return nil, err
	}
	j.path = path
	return j, nil
}

// Read reads a journal that is kept elsewhere than in a file, as Open does. It grows
// by what [Journal.Line] returns.
func Read(t *tables.Tables, r io.Reader) (*Journal, error) {
	data, err := io.ReadAll(r)
	if err != nil {
		return nil, err
	}
	c, err := parse(data)
	if err != nil {
		return nil, err
	}
	life, err := Replay(t, c.events...)
	if err != nil {
		return nil, err
	}
	return &Journal{"", *life, c}, nil
}

// Line returns the line with which an event would follow the others, and writes
// nothing. Errors are those of Append.
func (j *Journal) Line(e Event) ([]byte, error) {
	_, data, _, err := j.next(e)
	return data, err
}

// next returns what the life and the file become with one more event.
func (j *Journal) next(e Event) (life *Life, data []byte, check string, err error) {
	e.At = e.At.Round(0) // without the monotonic clock, which a file cannot keep
	life = j.Life()
	if err := life.Apply(e); err != nil {
		return nil, nil, "", err
	}
	data, check, err = encode(e, len(j.events)+1, j.last)
	return life, data, check, err
}

// Events returns all events, oldest first.
func (j *Journal) Events() []Event { return Event{Bath: j.events}.clone().Bath }

// Life returns a copy of the bath as the events leave it.
func (j *Journal) Life() *Life { return j.life.clone() }

// Torn returns what is left of a last line that was being written when the
// machine stopped, or nil. That event was never confirmed and is not among
// Events; the next Append takes its place.
func (j *Journal) Torn() []byte { return slices.Clone(j.torn) }

// Append writes an event and returns once it is on the disk. An event that does
// not fit the bath (more water evaporated than there is, a time before that of
// the last event) is refused and nothing is written. If the file cannot be
// written it is cut back to what it was.
func (j *Journal) Append(e Event) error {
	life, data, check, err := j.next(e)
	if err != nil {
		return err
	}
	f, err := os.OpenFile(j.path, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	if err := errors.Join(j.write(f, data), f.Close()); err != nil {
		return err
	}
	j.life, j.last = *life, check
	j.size += int64(len(data))
	e.At = e.At.Round(0)
	j.events = append(j.events, e.clone())
	return nil
}

// write puts a line at the end of the file, in the place of a torn one.
func (j *Journal) write(f *os.File, line []byte) error {
	info, err := f.Stat()
	if err != nil {
		return err
	}
	if want := j.size + int64(len(j.torn)); info.Size() != want {
		return fmt.Errorf("%w: %s has %d bytes, not %d", ErrChanged, j.path, info.Size(), want)
	}
	if err := f.Truncate(j.size); err != nil {
		return err
	}
	j.torn = nil
	_, err = f.WriteAt(line, j.size)
	if err == nil {
		err = f.Sync()
	}
	if err != nil {
		return errors.Join(err, f.Truncate(j.size))
	}
	return nil
}

// syncFolder makes a new name in a folder last. Windows does it by itself and
// refuses to be asked.
func syncFolder(path string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	d, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}
