package tables

import (
	"errors"
	"io/fs"
)

// reference holds the tables that are looked up, not computed with: what is
// sold, what comes from the tap, what a reading means, what rust is made of.
type reference struct {
	reagents      catalogue[Reagent]
	hardnessUnits catalogue[HardnessUnit]
	waters        catalogue[Water]
}

// loadReference reads the reference tables and reports all that is wrong.
func (t *Tables) loadReference(fsys fs.FS) error {
	return errors.Join(
		t.loadReagents(fsys),
		t.loadHardnessUnits(fsys),
		t.loadWaters(fsys),
	)
}
