package journal

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"

	"example.com/chelation/chem"
)

// version is that of the format that this package writes.
const version = 1

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

// ErrDamage is wrapped by every complaint about a file that lost, moved or
// changed a line.
var ErrDamage = errors.New("damaged file")

// damaged says which line, from 1, is the first that cannot be trusted.
func damaged(line int, want string, err error) error {
	return &chem.InputError{Field: "journal", Value: fmt.Sprintf("damaged in line %d", line), Want: want, Err: err, Kind: ErrDamage}
}

// content is a journal as read from a file.
type content struct {
	events []Event
	last   string // check sum of the last whole line
	size   int64  // bytes of whole lines
	torn   []byte // what follows them
}

// parse reads a file. Only the end of the last line may be missing.
func parse(data []byte) (content, error) {
	var c content
	for number := 1; len(data) > 0; number++ {
		end := bytes.IndexByte(data, '\n')
		if end < 0 {
			c.torn = bytes.Clone(data)
			break
		}
		e, check, err := parseLine(data[:end], number, c.last)
		if err != nil {
			return content{}, err
		}
		if n := len(c.events); n > 0 && e.At.Before(c.events[n-1].At) {
			return content{}, damaged(number, "a time not before that of the line above", nil)
		}
		c.events = append(c.events, e)
		c.last = check
		c.size += int64(end + 1)
		data = data[end+1:]
	}
	return c, nil
}

// parseLine reads a line that is to be what encode writes, to the letter.
func parseLine(data []byte, number int, previous string) (Event, string, error) {
	var l line
	if err := json.Unmarshal(data, &l); err != nil {
		return Event{}, "", damaged(number, "a JSON object with v, n, event and sum", err)
	}
	switch {
	case l.Version != version:
		return Event{}, "", damaged(number, fmt.Sprintf("version %d, not %d: a newer program wrote it", version, l.Version), nil)
	case l.Number != number:
		return Event{}, "", damaged(number, fmt.Sprintf("event %d, not %d: a line was lost, doubled or moved", number, l.Number), nil)
	case l.Sum != sum(previous, number, l.Event):
		return Event{}, "", damaged(number, "a check sum that fits this line and the one above: one of the two was changed", nil)
	}
	var e Event
	if err := json.Unmarshal(l.Event, &e); err != nil {
		return Event{}, "", damaged(number, "an event", err)
	}
	if err := e.check(); err != nil {
		return Event{}, "", damaged(number, "an event that makes sense", err)
	}
	again, check, err := encode(e, number, previous)
	if err != nil || !bytes.Equal(bytes.TrimSuffix(again, []byte("\n")), data) {
		return Event{}, "", damaged(number, "the line as it was written, to the letter", err)
	}
	return e, check, nil
}

// encode writes an event as the line that follows another.
func encode(e Event, number int, previous string) (data []byte, check string, err error) {
	event, err := json.Marshal(e)
	if err != nil {
		return nil, "", err
	}
	check = sum(previous, number, event)
	data, err = json.Marshal(line{version, number, event, check})
	return append(data, '\n'), check, err
}
