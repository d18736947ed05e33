package recipe

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
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
	whole, tried := 0, 0
	for grams := 0.05; grams < 3000; grams *= 1.013 {
		rounded := r.round(grams)
		assert.LessOrEqual(t, rounded, 1.05*grams)
		assert.GreaterOrEqual(t, rounded, 2./3*grams)
		if grams < 0.6 { // less than an eighth of a teaspoon
			continue
		}
		eighths := float64(acid.Packing().VolumeOf(unit.Mass(rounded)*measure.Gram) / (measure.Teaspoon / 8))
		if tried++; math.Abs(eighths-math.Round(eighths)) < 1e-6 {
			whole++ // all spoons hold whole numbers of it
		} else {
			assert.Less(t, grams, 8.0, "less than a spoon more would be too much")
		}
	}
	assert.Greater(t, float64(whole), 0.8*float64(tried))
}
