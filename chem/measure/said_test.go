package measure_test

import (
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem/measure"
)

// Parts may be joined as people do, and are then one measure: 1 lb 2 oz is
// (16 + 2) · 28.349523125 g (NIST Handbook 44, app. C).
func TestPartsAreJoined(t *testing.T) {
	for _, said := range []string{"1 lb 2 oz", "1 lb, 2 oz", "1 lb + 2 oz", "1 lb & 2 oz", "1 lb and 2 oz", "1 lb AND 2 oz"} {
		m, err := measure.ParseMass(said)
		require.NoError(t, err, said)
		assert.InDelta(t, 18*28.349523125, float64(m/measure.Gram), 1e-9, said)
	}
	for _, said := range []string{"1 lb,", "1 lb & ", "1 lb and", "1 2/2 lb", "1 3/2 lb", "1/0 lb", "1 lb, & 2 oz"} {
		_, err := measure.ParseMass(said)
		assert.Error(t, err, said)
	}
	for said, grams := range map[string]float64{"1 1/2 lb": 1.5 * 453.59237, "2/2 lb": 453.59237, "3/2 lb": 1.5 * 453.59237} {
		m, err := measure.ParseMass(said)
		require.NoError(t, err, said)
		assert.InDelta(t, grams, float64(m/measure.Gram), 1e-9, said)
	}
}

// What is as long as the refusal of longer ones says is taken.
func TestLongestMeasure(t *testing.T) {
	_, err := measure.ParseMass(strings.Repeat("0", 500) + " kg")
	require.Error(t, err)
	most, err := strconv.Atoi(regexp.MustCompile(`at most (\d+) bytes`).FindStringSubmatch(err.Error())[1])
	require.NoError(t, err)
	m, err := measure.ParseMass(strings.Repeat("0", most-4) + "1 kg")
	require.NoError(t, err)
	assert.InDelta(t, 1, float64(m), 1e-12)
	_, err = measure.ParseMass(strings.Repeat("0", most-3) + "1 kg")
	assert.Error(t, err)
}

// Lengths, areas and thicknesses of all sizes have a customary unit, by the inch of
// 25.4 mm, of which a ruler shows sixteenths.
func TestCustomaryOfSmallThings(t *testing.T) {
	for metric, customary := range map[string]string{
		"0.0127 m": "0.5 in", "0.0254 m": "1 in", "2.00 m": "6.56 ft", "2.54 cm": "1 in", "0.3175 cm": "0.125 in", "0.508 mm": "20 mil", "25.4 µm": "1 mil",
		"6.4516 cm²": "1 in²", "1.00 cm²": "0.155 in²", "3716 cm²": "4 ft²", "1.00 m²": "10.8 ft²", "10.0 g/L": "1.335 oz/gal",
	} {
		got := measure.Customary(metric)
		want, unit, _ := strings.Cut(customary, " ")
		number, symbol, _ := strings.Cut(got, " ")
		assert.Equal(t, unit, symbol, "%s: %s", metric, got)
		x, err := strconv.ParseFloat(want, 64)
		require.NoError(t, err)
		over, under, fraction := strings.Cut(number, "/") // of an inch
		y, err := strconv.ParseFloat(over, 64)
		require.NoError(t, err, "%s: %s", metric, got)
		if fraction {
			parts, err := strconv.ParseFloat(under, 64)
			require.NoError(t, err, "%s: %s", metric, got)
			y /= parts
		}
		assert.InEpsilon(t, x, y, 0.03, "%s: %s", metric, got)
	}
}
