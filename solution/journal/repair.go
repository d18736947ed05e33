package journal

import (
	"errors"
	"os"

	"example.com/chelation/tables"
)

// Salvage reads what is sound in a damaged journal, and tells all that is not. An
// event whose own line was changed is left out; one that follows a lost line cannot
// be tested and is kept.
func Salvage(t *tables.Tables, path string) (*Life, []error, error) {
	c, damages, err := salvage(path)
	if err != nil {
		return nil, nil, err
	}
	life := &Life{tables: t}
	for _, e := range c.events {
		life.follow(e)
	}
	return life, damages, nil
}

// Repair writes what [Salvage] finds sound as a new journal, numbered anew, and
// returns what was left out. The damaged file stays as it is; one that is there under
// the new name gives an error that wraps fs.ErrExist.
func Repair(t *tables.Tables, path, to string) ([]error, error) {
	c, damages, err := salvage(path)
	if err != nil {
		return nil, err
	}
	f, err := Create(t, to)
	if err != nil {
		return damages, err
	}
	var lines []byte
	c.last = ""
	for i, e := range c.events { // written before: nothing is asked again
		line, check, err := encode(e, i+1, c.last)
		if err != nil {
			return damages, err
		}
		lines, c.last = append(lines, line...), check
	}
	if err := os.WriteFile(f.path, lines, 0o644); err != nil {
		return damages, err
	}
	return damages, c.keep(to)
}

func salvage(path string) (content, []error, error) {
	data, err := read(path)
	if err != nil {
		return content{}, nil, err
	}
	c, damages := parse(data)
	if err := c.whole(path); err != nil && len(damages) == 0 {
		damages = append(damages, err)
	}
	if c.events == nil {
		return content{}, nil, errors.Join(append(damages, os.ErrInvalid)...)
	}
	at := map[int]int{} // numbers as they were to numbers as they will be
	for i, n := range c.numbers {
		at[n] = i + 1
	}
	kept := c.events[:0]
	for i, e := range c.events {
		if e.Number != 0 {
			if e.Number = at[e.Number]; e.Number == 0 {
				damages = append(damages, damaged(c.numbers[i], "the event that it is about", nil))
				continue
			}
		}
		kept = append(kept, e)
	}
	c.events = kept
	return c, damages, nil
}
