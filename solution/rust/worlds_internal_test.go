package rust

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"

	"example.com/chelation/tables"
)

// What is not known of a rust is not known apart: no two things go together over the
// worlds by more than the standard error of as many random ones, and each spans what
// the tables say of it.
func TestWorldsKnowNothingTogether(t *testing.T) {
	std, err := tables.Standard()
	require.NoError(t, err)
	p, err := NewPace(std)
	require.NoError(t, err)
	columns := make([][]float64, 8)
	for _, w := range p.worlds {
		for i, x := range []float64{w.energy, w.contrast, w.order, math.Log(w.slope), math.Log(w.half), math.Log(w.layer), math.Log(w.catalysis), w.film} {
			columns[i] = append(columns[i], x)
		}
	}
	for i := range columns {
		assert.Positive(t, stat.StdDev(columns[i], nil), "%d", i)
		for k := range i {
			assert.Less(t, math.Abs(stat.Correlation(columns[i], columns[k], nil)), 1.2/math.Sqrt(float64(len(p.worlds))), "%d and %d", i, k)
		}
	}
}
