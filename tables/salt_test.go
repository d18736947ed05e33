package tables_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.com/chelation/tables"
)

// What is bought as a salt is no species: the error names what it dissolves into. The equations
// are those of a first course.
func TestSaltIsNoSpecies(t *testing.T) {
	std, err := tables.Standard()
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{
		"NaCl":       "the reagent Sodium chloride, NaCl = Na+ + Cl-",
		"table salt": "the reagent Sodium chloride, NaCl = Na+ + Cl-",
		"lye":        "the reagent Sodium hydroxide, NaOH + H+ = Na+ + H2O",
	} {
		_, err := std.Formation(name)
		assert.ErrorIs(t, err, tables.ErrNotFound, name)
		assert.ErrorContains(t, err, want, name)
	}
	_, err = std.Constant("NaCl = Na+ + Cl-")
	assert.ErrorContains(t, err, "the reagent Sodium chloride")
	_, err = std.Formation("BaCl")
	assert.ErrorContains(t, err, `"BaCl+"`)
}
