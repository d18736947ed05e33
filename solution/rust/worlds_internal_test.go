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

// Each stands about what the tables say of it, in the units of the laws: the middle of the worlds is
// the typical figure (of half coverage in mol/m³, a thousand to the litre), and a twentieth of
// them lie beyond either end.
func TestWorldsStandAboutTheTables(t *testing.T) {
	std, err := tables.Standard()
	require.NoError(t, err)
	p, err := NewPace(std)
	require.NoError(t, err)
	even := 0
	for id, x := range map[string]struct {
		of func(w world) float64
		in float64
	}{
		"ph-slope": {func(w world) float64 { return w.slope }, 1}, "half-coverage": {func(w world) float64 { return w.half }, 1000},
		"layer-mass": {func(w world) float64 { return w.layer }, 1}, "iron-ii-catalysis": {func(w world) float64 { return w.catalysis }, 1},
	} {
		said, err := tables.Find[tables.Kinetic](std, id)
		require.NoError(t, err)
		below, middle, above := 0, 0.0, 0
		for _, w := range p.worlds {
			v := x.of(w) / x.in
			middle += math.Log(v/said.Value.Typical) / worlds
			if v < said.Value.Low {
				below++
			} else if v > said.Value.High {
				above++
			}
		}
		assert.InDelta(t, worlds/20, below, 1.5, id)
		assert.InDelta(t, worlds/20, above, 1.5, id)
		if r := said.Value; math.Abs(math.Log(r.Low*r.High/r.Typical/r.Typical)) < 1e-9 { // even to both sides
			assert.InDelta(t, 0, middle, 1e-9, id)
			even++
		}
	}
	assert.Positive(t, even)
}
