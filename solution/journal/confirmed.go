package journal

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"example.com/chelation/chem"
)

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

// whole refuses a journal that has lost events from its end. Without the file beside
// it, as after a copy, nothing can be told.
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
