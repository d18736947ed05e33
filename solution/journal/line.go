package journal

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"example.com/chelation/chem"
)

const version = 1 // of the format

// line is an event with what guards it.
type line struct {
	Version int             `json:"v"`
	Number  int             `json:"n"`
	Event   json.RawMessage `json:"event"`
	Sum     string          `json:"sum"`
}

// sum returns the check sum of an event that follows a line with another.
func sum(previous string, number int, event []byte) string {
	h := sha256.New()
	fmt.Fprintf(h, "%d %s %d ", version, previous, number)
	h.Write(event)
	return hex.EncodeToString(h.Sum(nil)[:8])
}

// ErrDamage is wrapped by complaints about a file that lost, moved or changed a line.
var ErrDamage = errors.New("damaged file")

// damaged says which line, from 1, is the first that cannot be trusted.
func damaged(line int, want string, err error) error {
	return &chem.InputError{Field: "journal", Value: fmt.Sprintf("damaged in line %d", line), Want: want, Err: err, Kind: ErrDamage}
}

// content is a journal as read from a file.
type content struct {
	events  []Event
	numbers []int  // of the events that were read; 1, 2, 3 … in a sound file
	last    string // check sum of the last whole line
	size    int64  // bytes of whole lines
	torn    []byte // what follows them
}

// more reads what follows in the file and tells what is wrong with it, counting lines from
// there. Only the end of the last may be missing. What editors leave (a mark of byte order,
// line ends of two characters, blank lines) does no harm.
func (c content) more(data []byte) (content, []error) {
	var damages []error
	c.torn = nil
	row, expected, known := 0, len(c.events)+1, true // number of the next line, and whether c.last is what it follows
	for whole := range bytes.Lines(data) {
		text, ended := bytes.CutSuffix(whole, []byte("\n"))
		if !ended {
			c.torn = bytes.Clone(whole)
			break
		}
		if c.size == 0 {
			text = bytes.TrimPrefix(text, []byte("\uFEFF"))
		}
		row, c.size = row+1, c.size+int64(len(whole))
		if text = bytes.TrimSuffix(text, []byte("\r")); len(text) == 0 {
			continue
		}
		e, l, err := parseLine(text, row, expected, c.last, known)
		if err != nil {
			damages = append(damages, err)
		}
		if l.Sum == "" || l.Number < expected { // no line at all, or one that was before
			known = false
			continue
		}
		if l.Number != expected {
			err = nil // what was lost stood above
		}
		expected, c.last, known = l.Number+1, l.Sum, true
		if err == nil {
			c.events, c.numbers = append(c.events, e), append(c.numbers, l.Number)
		}
	}
	return c, damages
}

// parseLine reads a line that is to be what [content.encode] writes, to the letter. Its sum is
// tested where it is known what it follows. The line is empty where there is none.
func parseLine(data []byte, row, number int, previous string, known bool) (Event, line, error) {
	var l line
	if err := json.Unmarshal(data, &l); err != nil {
		return Event{}, line{}, damaged(row, "a JSON object with v, n, event and sum", err)
	}
	if l.Version != version {
		return Event{}, line{}, damaged(row, fmt.Sprintf("version %d, not %d: a newer program wrote it", version, l.Version), nil)
	}
	var e Event
	if err := json.Unmarshal(l.Event, &e); err != nil {
		return Event{}, line{}, damaged(row, "an event", err)
	}
	if err := e.check(); err != nil {
		return Event{}, line{}, damaged(row, "an event that makes sense", err)
	}
	if l.Number != number {
		return e, l, damaged(row, fmt.Sprintf("event %d, not %d: a line was lost, doubled or moved", number, l.Number), nil)
	}
	if known && l.Sum != sum(previous, number, l.Event) {
		return e, l, damaged(row, "a check sum that fits this line and the one above: one of the two was changed", nil)
	}
	event, err := json.Marshal(e)
	if again, _ := json.Marshal(line{version, number, event, l.Sum}); !bytes.Equal(again, data) {
		return e, l, damaged(row, "the line as it was written, to the letter", err)
	}
	return e, l, nil
}

// encode lets an event follow the others, and returns its line.
func (c *content) encode(e Event) ([]byte, error) {
	number := len(c.events) + 1
	event, err := json.Marshal(e)
	if err != nil {
		return nil, err
	}
	c.last = sum(c.last, number, event)
	c.events = append(c.events, e.clone())
	data, err := json.Marshal(line{version, number, event, c.last})
	return append(data, '\n'), err
}

// beside is the name of a small file that tells how many events there are.
func beside(path string) string { return path + ".confirmed" }

// keep writes it anew, whole or not at all.
func (c content) keep(path string) error {
	name := beside(path)
	if err := os.WriteFile(name+".new", fmt.Appendf(nil, `{"events":%d}`, len(c.events)), 0o644); err != nil {
		return err
	}
	return os.Rename(name+".new", name)
}

// whole refuses a journal that has lost its end; without the file beside it none is missed.
func (c content) whole(path string) error {
	text, err := os.ReadFile(beside(path))
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	var there struct{ Events int }
	if err = cmp.Or(err, json.Unmarshal(text, &there)); err != nil {
		return &chem.InputError{Field: "journal", Value: "beside an unreadable " + beside(path), Want: "the count of its events there; remove that file if the journal is whole", Err: err, Kind: ErrDamage}
	}
	lost := there.Events - len(c.events)
	if len(c.torn) > 0 {
		lost-- // that one is torn, and told of
	}
	if lost > 0 {
		return damaged(len(c.events)+1, fmt.Sprintf("%d more events that were confirmed; they are gone from the end", lost), nil)
	}
	return nil
}
