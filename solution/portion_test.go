package solution

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.com/chelation/chem/measure"
)

// A portion is told by weight, and by spoons beside it where there are any.
func TestPortionInWords(t *testing.T) {
	assert.Equal(t, "102 g (about 7 level tablespoons)", Portion{MassGrams: 102, Spoons: "about 7 level tablespoons"}.Text())
	assert.Equal(t, "102 g", Portion{MassGrams: 102}.Text())
	assert.InDelta(t, 102, float64(Portion{MassGrams: 102}.Mass()/measure.Gram), 1e-12)
}
