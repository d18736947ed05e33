package journal

import (
	"cmp"
	"errors"
	"os"

	"example.com/chelation/tables"
)

// Repair writes what is sound in a damaged journal as a new one, numbered anew, and returns
// what was left out, as an event whose own line was changed, or is in doubt, as one that
// follows a lost line. A file that is there gives an error that wraps fs.ErrExist.
func Repair(t *tables.Tables, path, to string) ([]error, error) {
	data, err := read(path)
	if err != nil {
		return nil, err
	}
	c, damages := content{}.more(data)
	if err := c.whole(path); err != nil && len(damages) == 0 {
		damages = append(damages, err)
	}
	if c.events == nil {
		return nil, errors.Join(append(damages, os.ErrInvalid)...)
	}
	if _, err := Create(t, to); err != nil {
		return damages, err
	}
	var lines []byte
	sound, at := content{}, map[int]int{} // numbers as they were to numbers as they are
	for i, e := range c.events {          // written before: nothing is asked again
		if e.Number != 0 {
			if e.Number = at[e.Number]; e.Number == 0 {
				damages = append(damages, damaged(c.numbers[i], "the event that it is about", nil))
				continue
			}
		}
		line, _ := sound.encode(e) // as it was read
		lines, at[c.numbers[i]] = append(lines, line...), len(sound.events)
	}
	return damages, cmp.Or(os.WriteFile(to, lines, 0o644), sound.keep(to))
}
