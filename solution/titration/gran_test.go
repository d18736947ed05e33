package titration_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution/titration"
)

// Gran's lines cut the axis at the equivalence point, and for a weak acid the
// slope is −Ka (G. Gran, Analyst 77 (1952) 661).
func TestGran(t *testing.T) {
	at := func(run *titration.Titration, volumes []float64) []titration.Reading {
		var out []titration.Reading
		for _, v := range volumes {
			p, err := run.At(unit.Volume(v) * mL)
			require.NoError(t, err)
			out = append(out, p.Reading)
		}
		return out
	}
	strong := book(t, mix(t, 50, map[string]float64{"H+": 0.01, "Cl-": 0.01}), strongBase(t, 0.02), "H+", nil)
	line, err := titration.Gran(titration.GranFalling, 50*mL, at(strong, steps(2, 22, 2)))
	require.NoError(t, err)
	assert.InDelta(t, 25, line.EquivalenceML, 1e-4)
	assert.InEpsilon(t, -0.02, line.SlopePerML, 1e-5)
	line, err = titration.Gran(titration.GranExcess, 50*mL, at(strong, steps(28, 40, 2)))
	require.NoError(t, err)
	assert.InDelta(t, 25, line.EquivalenceML, 1e-4)
	const ka = 1.75e-5
	weak := book(t, mix(t, 50, map[string]float64{"Hac": 0.1}), strongBase(t, 0.1), "H+", map[string]float64{"Hac": -math.Log10(ka)})
	line, err = titration.Gran(titration.GranWeak, 50*mL, at(weak, steps(30, 48, 2)))
	require.NoError(t, err)
	assert.InDelta(t, 50, line.EquivalenceML, 0.01)
	assert.InEpsilon(t, -ka, line.SlopePerML, 0.01)
	assert.Less(t, line.StandardML, 0.01)
	for _, bad := range [][]titration.Reading{nil, {{1, 2}, {2, 3}}, {{1, 2}, {1, 2}, {1, 2}}, {{1, 2}, {2, math.NaN()}, {3, 4}}} {
		_, err := titration.Gran(titration.GranFalling, 50*mL, bad)
		assert.ErrorIs(t, err, chem.ErrInput)
	}
	_, err = titration.Gran(titration.GranKind(9), 50*mL, at(strong, steps(2, 22, 2)))
	assert.ErrorIs(t, err, chem.ErrInput)
}

// The error of where a line cuts the axis, on a worked example: silver in
// photographic waste by standard additions, 17.3 µg/mL with a standard error of
// 0.749 (J. N. Miller and J. C. Miller, Statistics and Chemometrics for Analytical
// Chemistry, section 5.8; the figures are from memory, the result was worked out
// again). The axis is moved by 50, for volumes cannot be below 0.
func TestGranStandardError(t *testing.T) {
	const moved = 50
	var readings []titration.Reading
	for i, absorbance := range []float64{0.32, 0.41, 0.52, 0.60, 0.70, 0.77, 0.89} {
		ml := float64(moved + 5*i)
		readings = append(readings, titration.Reading{ML: ml, P: -math.Log10(absorbance / ml)})
	}
	line, err := titration.Gran(titration.GranWeak, 50*mL, readings)
	require.NoError(t, err)
	assert.InDelta(t, 17.3, moved-line.EquivalenceML, 0.05)
	assert.InDelta(t, 0.749, line.StandardML, 0.002) // the book rounds on the way
}

// A line without a slope cuts no axis, and one of slope one does: y = V·10^−p is 1 at 1, 10 and
// 100 mL of pH 0, 1 and 2, to the last digit, and V itself at pH 0.
func TestGranOfOneSlopeAndOfNone(t *testing.T) {
	_, err := titration.Gran(titration.GranWeak, 50*mL, []titration.Reading{{ML: 1, P: 0}, {ML: 10, P: 1}, {ML: 100, P: 2}})
	require.ErrorIs(t, err, chem.ErrInput)
	require.ErrorContains(t, err, "without a slope")
	line, err := titration.Gran(titration.GranWeak, 50*mL, []titration.Reading{{ML: 1, P: 0}, {ML: 2, P: 0}, {ML: 3, P: 0}})
	require.NoError(t, err)
	require.InDelta(t, 1, line.SlopePerML, 1e-15)
	require.InDelta(t, 0, line.EquivalenceML, 1e-12)
}
