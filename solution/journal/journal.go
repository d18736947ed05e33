package journal

import (
	"cmp"
	"errors"
	"iter"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"time"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// Journal is a file of events with the bath that they lead to.
type Journal struct {
	path string
	life Life
	content
}

// Create starts an empty journal. A file that is there gives an error that wraps fs.ErrExist.
func Create(t *tables.Tables, path string) (*Journal, error) {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644)
	if err != nil {
		return nil, err
	}
	if err := errors.Join(f.Sync(), f.Close(), syncFolder(filepath.Dir(path))); err != nil {
		return nil, err
	}
	return &Journal{path: path, life: Life{tables: t, aside: map[int]error{}}}, nil
}

// Open reads a journal and replays it. A file that was tampered with, or has lost
// its end, gives an error that wraps [ErrDamage], see [Repair]; a torn last line does
// not. An event that cannot have happened is left out, and [Life.Report] tells.
func Open(t *tables.Tables, path string) (*Journal, error) {
	data, err := read(path)
	if err != nil {
		return nil, err
	}
	j, err := Read(t, data)
	if err == nil {
		err = j.whole(path)
	}
	if err != nil {
		return nil, err
	}
	j.path = path
	return j, nil
}

// Read reads a journal that is kept elsewhere than in a file, as Open does. It grows
// by what [Journal.Line] returns.
func Read(t *tables.Tables, data []byte) (*Journal, error) {
	c, damages := content{}.more(data)
	if len(damages) > 0 {
		return nil, damages[0]
	}
	life := Life{tables: t, aside: map[int]error{}}
	for _, e := range c.events {
		life.follow(e)
	}
	return &Journal{"", life, c}, nil
}

// Line returns the line with which an event would follow the others, as Append writes it.
func (j *Journal) Line(e Event) ([]byte, error) { return j.clone().add(e) }

// add lets an event follow the others, and returns its line. An error spoils the journal.
func (j *Journal) add(e Event) ([]byte, error) {
	e.At = e.At.Round(0).Truncate(time.Second) // without the monotonic clock, which a file cannot keep
	if err := j.life.Try(e); err != nil {
		return nil, err
	}
	return j.encode(e)
}

// clone is a journal that grows by itself.
func (j *Journal) clone() *Journal {
	next := *j
	next.life, next.events = *j.Life(), slices.Clip(j.events)
	return &next
}

// read returns what a file holds, if it is one.
func read(path string) ([]byte, error) {
	const mostBytes = 1 << 26 // a century of events
	info, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	if !info.Mode().IsRegular() || info.Size() > mostBytes {
		return nil, &chem.InputError{Field: "journal", Value: path, Want: "a plain file of at most 64 MB"}
	}
	return os.ReadFile(path)
}

// Events returns all events, oldest first.
func (j *Journal) Events() []Event { return Event{Bath: j.events}.clone().Bath }

// Standing yields the numbers, from 1, of events that were not struck out, as amended last.
func (j *Journal) Standing() iter.Seq2[int, Event] { return standing(j.Events()) }

// Life returns a copy of the bath as the events leave it.
func (j *Journal) Life() *Life { return j.life.clone() }

// Torn returns what is left of a torn last line, or nil.
func (j *Journal) Torn() []byte { return slices.Clone(j.torn) }

// Append writes events, all or none, and returns once they are on the disk. Where [Life.Try]
// refuses one nothing is written. What other programs wrote meanwhile is read first: they
// are kept out until the events are there, and do the same. If the file cannot be written
// it is cut back to what it was. Times are kept to the second.
func (j *Journal) Append(events ...Event) (err error) {
	if j.path == "" {
		return &chem.InputError{Field: "journal", Value: "without a file", Want: "one from Create or Open"}
	}
	f, err := os.OpenFile(j.path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	if err := lock(f); err != nil {
		return err
	}
	next, err := j.current(f)
	if err != nil {
		return err
	}
	var lines []byte
	for _, e := range events {
		line, err := next.add(e)
		if err != nil {
			return err
		}
		lines = append(lines, line...)
	}
	if err := put(f, lines, next.size); err != nil {
		return err
	}
	next.size, next.torn = next.size+int64(len(lines)), nil
	*j = *next
	return j.keep(j.path)
}

// current is the journal with what other programs have written meanwhile.
func (j *Journal) current(f *os.File) (*Journal, error) {
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	next := j.clone()
	tail := make([]byte, max(0, info.Size()-j.size))
	if _, err := f.ReadAt(tail, min(j.size, info.Size())); err != nil {
		return nil, err
	}
	c, damages := next.more(tail)
	if info.Size() < j.size || len(damages) > 0 {
		return Open(j.life.tables, j.path) // which tells what is wrong
	}
	for _, e := range c.events[len(j.events):] {
		next.life.follow(e)
	}
	next.content = c
	return next, nil
}

// put writes lines at a place in the file, in that of a torn one, or leaves it cut there.
func put(f *os.File, lines []byte, at int64) error {
	err := f.Truncate(at)
	_, failed := f.WriteAt(lines, at)
	if err = cmp.Or(err, failed, f.Sync()); err != nil {
		return errors.Join(err, f.Truncate(at))
	}
	return nil
}

// syncFolder makes a new name in a folder last, which Windows does unasked.
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
