package bath

import (
	"errors"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// ErrNoIron marks a chelant of which nobody has evaluated how firmly it holds
// iron(III): what its bath can take is not computed.
var ErrNoIron = errors.New("no iron(III) constant is evaluated")

// knowsIron refuses a vessel with such a chelant.
func knowsIron(t *tables.Tables, v *solution.Solution) error {
	for _, c := range t.Components() {
		if !c.Class.Chelant() {
			continue
		}
		n, err := v.Amount(c.ID)
		if err != nil || n == 0 {
			continue // none of it
		}
		if with, err := t.Between("Fe3+", c.ID); err == nil && len(with) == 0 {
			return &chem.InputError{Field: "Chelant", Value: c.Name, Want: "one with a constant for iron(III)", Kind: ErrNoIron}
		}
	}
	return nil
}
