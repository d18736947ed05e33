package chem

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

// One slip of the pen anywhere in a name, a letter left out, doubled, put for another or
// swapped with the next, leaves it near.
func TestNearestAfterOneSlip(t *testing.T) {
	known := []string{"lye", "soda", "borax", "vinegar", "magnetite", "citric acid", "washing soda", "tetrasodium EDTA"}
	for _, name := range known {
		letters := []rune(name)
		for i, x := range letters {
			slips := [][]rune{slices.Insert(slices.Clone(letters), i, x), slices.Concat(letters[:i], []rune{'q'}, letters[i+1:]), slices.Delete(slices.Clone(letters), i, i+1)}
			if i > 0 {
				swapped := slices.Clone(letters)
				swapped[i-1], swapped[i] = x, letters[i-1]
				slips = append(slips, swapped)
			}
			for _, asked := range slips {
				if len(asked) > 2 {
					assert.Contains(t, Nearest(string(asked), slices.Values(known)), name, string(asked))
				}
			}
		}
	}
}
