package recipe

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.com/chelation/tables"
)

// A portion that is rounded to spoons never brings more than a twentieth too much acid,
// be it a pinch or a bucket; and no less than two thirds of it, of which the smallest
// spoons are coarse.
func TestRoundedToSpoonsAndNotBeyond(t *testing.T) {
	std, err := tables.Standard()
	assert.NoError(t, err)
	acid, err := std.Reagent("citric acid")
	assert.NoError(t, err)
	r := Recipe{Acid: acid}
	for grams := 0.05; grams < 3000; grams *= 1.013 {
		rounded := r.round(grams)
		assert.LessOrEqual(t, rounded, 1.05*grams)
		assert.GreaterOrEqual(t, rounded, 2./3*grams)
	}
}
