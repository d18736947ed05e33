package measure_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

func TestFormat(t *testing.T) {
	mass := func(x float64) string { return measure.FormatMass(unit.Mass(x)) }
	massUS := func(x float64) string { return measure.Customary(measure.FormatMass(unit.Mass(x))) }
	volume := func(x float64) string { return measure.FormatVolume(unit.Volume(x)) }
	volumeUS := func(x float64) string { return measure.Customary(measure.FormatVolume(unit.Volume(x))) }
	temperature := func(x float64) string { return measure.FormatTemperature(unit.Temperature(x)) }
	length := func(x float64) string { return measure.FormatLength(unit.Length(x)) }
	area := func(x float64) string { return measure.FormatArea(unit.Area(x)) }
	for _, c := range []struct {
		format func(float64) string
		value  float64
		want   string
	}{
		{mass, 0, "0 g"},
		{mass, -5e-20, "0 g"},
		{mass, 9.6e6, "9600000 kg"},
		{mass, 1e305, "1e+305 kg"},
		{mass, 9.2e-3, "9.2 g"},
		{mass, 0.4632, "460 g"},
		{mass, 0.1893, "189 g"},
		{mass, 1.3608, "1.36 kg"},
		{mass, 0.9999, "1 kg"},
		{mass, 2.2680, "2.3 kg"},
		{mass, 9.96e-3, "10 g"},
		{mass, 0.25e-3, "0.25 g"},
		{mass, 20e-6, "20 mg"},
		{mass, -9.2e-3, "-9.2 g"},
		{mass, math.NaN(), "NaN mg"},
		{massUS, 3.2 * 0.45359237 / 16, "3.2 oz"},
		{massUS, 0.45359237, "1 lb"},
		{massUS, 1.25 * 0.45359237, "1 lb 4 oz"},
		{massUS, 1.2 * 0.45359237, "1 lb 3 oz"},
		{massUS, 1.22 * 0.45359237, "1 lb 3.5 oz"},
		{massUS, 9.999 * 0.45359237, "10 lb"},
		{massUS, 12.5 * 0.45359237, "12.6 lb"},
		{massUS, 0, "0 g"},
		{volume, 0, "0 mL"},
		{volume, 0.02, "20 L"},
		{volume, 3.785411784e-3, "3.8 L"},
		{volume, 14.7868e-6, "14.8 mL"},
		{volume, 1.5, "1.5 m³"},
		{volumeUS, 0.02, "5.3 gal"},
		{volumeUS, 5 * 3.785411784e-3, "5 gal"},
		{volumeUS, 1e-3, "1 qt"},
		{volumeUS, 12 * 29.5735e-6, "12 fl oz"},
		{volumeUS, 7.4e-6, "7.4 mL"},
		{temperature, 293.15, "20 °C (68 °F)"},
		{temperature, 273.15 - 0.3, "0 °C (31 °F)"},
		{temperature, 233.15, "-40 °C (-40 °F)"},
		{length, 50.8e-6, "51 µm"},
		{length, 0.01905, "19.1 mm"},
		{length, 0.3048, "30 cm"},
		{length, 1.6, "1.6 m"},
		{area, 0.04, "400 cm²"},
		{area, 2, "2 m²"},
		{area, 5e-6, "5 mm²"},
	} {
		assert.Equal(t, c.want, c.format(c.value))
	}
}

// What is written reads back within the stated rounding, over twelve decades.
func TestFormatRoundTrip(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for range 5000 {
		x := math.Pow(10, -6+12*random.Float64())
		for _, c := range []struct {
			quantity, text string
		}{
			{"mass", measure.FormatMass(unit.Mass(x))},
			{"volume", measure.FormatVolume(unit.Volume(x))},
			{"length", measure.FormatLength(unit.Length(x))},
			{"area", measure.FormatArea(unit.Area(x))},
		} {
			got, err := si(c.quantity, c.text)
			require.NoError(t, err, c.text)
			require.InEpsilon(t, x, got, 0.025+1e-9, c.text)
		}
	}
}

func TestSpoons(t *testing.T) {
	const tsp = 4.92892159375e-6
	for _, c := range []struct {
		teaspoons float64
		text      string
		holds     float64 // teaspoons
	}{
		{0, "none", 0},
		{0.05, "a pinch (less than 1/8 teaspoon)", 0},
		{0.12, "about 1/8 level teaspoon", 0.125},
		{0.25, "1/4 level teaspoon", 0.25},
		{0.375, "1/4 level teaspoon + 1/8 teaspoon", 0.375},
		{0.75, "3/4 level teaspoon", 0.75},
		{1, "1 level teaspoon", 1},
		{1.5, "1 1/2 level teaspoons", 1.5},
		{2.03, "about 2 level teaspoons", 2},
		{3, "1 level tablespoon", 3},
		{3.5, "1 level tablespoon + 1/2 teaspoon", 3.5},
		{6, "2 level tablespoons", 6},
		{12, "1/4 level cup", 12},
		{15, "1/4 level cup + 1 tablespoon", 15},
		{16, "1/3 level cup", 16},
		{32, "2/3 level cup", 32},
		{36, "3/4 level cup", 36},
		{48, "1 level cup", 48},
		{72, "1 1/2 level cups", 72},
		{480, "10 level cups", 480},
	} {
		text, holds, err := measure.Spoons(unit.Volume(c.teaspoons * tsp))
		require.NoError(t, err)
		assert.Equal(t, c.text, text)
		assert.InDelta(t, c.holds*tsp, float64(holds), 1e-12*tsp*max(1, c.holds), c.text)
	}
	for _, bad := range []float64{-1e-6, math.NaN(), math.Inf(1), 2} {
		_, _, err := measure.Spoons(unit.Volume(bad))
		require.ErrorIs(t, err, chem.ErrInput)
	}
}

// Whatever is asked, the text says what the spoons hold, and that is near.
func TestSpoonsHoldWhatTheySay(t *testing.T) {
	const tsp = 4.92892159375e-6
	random := rand.New(rand.NewPCG(3, 4))
	for range 2000 {
		asked := tsp * math.Pow(10, -0.8+3.2*random.Float64())
		text, holds, err := measure.Spoons(unit.Volume(asked))
		require.NoError(t, err)
		said, err := measure.ParseVolume(strings.TrimPrefix(text, "about "))
		require.NoError(t, err, text)
		require.InEpsilon(t, float64(holds), float64(said), 1e-12, text)
		require.InDelta(t, asked, float64(holds), max(0.05*asked, tsp/16)*(1+1e-9), text)
	}
}
