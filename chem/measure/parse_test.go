package measure_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

// si parses with the parser of the named quantity and returns SI.
func si(quantity, s string) (float64, error) {
	switch quantity {
	case "mass":
		v, err := measure.ParseMass(s)
		return float64(v), err
	case "volume":
		v, err := measure.ParseVolume(s)
		return float64(v), err
	case "temperature":
		v, err := measure.ParseTemperature(s)
		return float64(v), err
	case "length":
		v, err := measure.ParseLength(s)
		return float64(v), err
	case "area":
		v, err := measure.ParseArea(s)
		return float64(v), err
	case "time":
		v, err := measure.ParseTime(s)
		return float64(v), err
	}
	return 0, errors.New("no such quantity " + quantity)
}

const (
	hb44     = "NIST Handbook 44, Appendix C: inch of 25.4 mm, gallon of 231 cubic inches, pound of 0.45359237 kg"
	kitchen  = "kitchen practice (NIST metric cooking equivalents)"
	kitchenM = kitchen + ", from memory"
	uk       = "UK Weights and Measures Act 1985, from memory"
	defined  = "definition"
)

// Published factors. Tolerances are those of the printed digits.
func TestPublishedUnits(t *testing.T) {
	for _, c := range []struct {
		quantity, text string
		value, per     float64 // value × per is SI
		tolerance      float64 // in the unit of value
		source         string
	}{
		{"volume", "1 tsp", 4.92892159375, 1e-6, 1e-9, hb44},
		{"volume", "1 tbsp", 14.78676478125, 1e-6, 1e-9, hb44},
		{"volume", "1 fl oz", 29.5735295625, 1e-6, 1e-9, hb44},
		{"volume", "1 cup", 236.5882365, 1e-6, 1e-9, hb44},
		{"volume", "1 pt", 473.176473, 1e-6, 1e-9, hb44},
		{"volume", "1 qt", 946.352946, 1e-6, 1e-9, hb44},
		{"volume", "1 gal", 3785.411784, 1e-6, 1e-9, hb44},
		{"volume", "1 dash", 0.61611519922, 1e-6, 1e-9, hb44},
		{"volume", "1/2 tsp", 2.46446079688, 1e-6, 1e-9, hb44},
		{"volume", "1/4 cup", 59.147059125, 1e-6, 1e-9, hb44},
		{"mass", "1 oz", 28.349523125, 1e-3, 1e-10, hb44},
		{"mass", "1 lb", 453.59237, 1e-3, 1e-10, hb44},
		{"mass", "1 grain", 0.06479891, 1e-3, 1e-10, hb44},
		{"mass", "1 short ton", 907.18474, 1, 1e-10, hb44},
		{"mass", "1 long ton", 1016.0469088, 1, 1e-10, hb44},
		{"mass", "1 tonne", 1000, 1, 1e-10, defined},
		{"volume", "1 metric cup", 250, 1e-6, 1e-9, kitchenM},
		{"volume", "1 metric tbsp", 15, 1e-6, 1e-9, kitchen},
		{"volume", "1 metric tsp", 5, 1e-6, 1e-9, kitchen},
		{"volume", "1 imperial gallon", 4546.09, 1e-6, 1e-9, uk},
		{"volume", "1 imperial pint", 568.26125, 1e-6, 1e-9, uk},
		{"volume", "1 imperial fl oz", 28.4130625, 1e-6, 1e-9, uk},
		{"length", "1 in", 25.4, 1e-3, 1e-12, "international inch"},
		{"length", "1 ft", 304.8, 1e-3, 1e-12, "international inch"},
		{"length", "1 mil", 0.0254, 1e-3, 1e-12, "international inch"},
		{"length", "1 yd", 0.9144, 1, 1e-12, "international yard"},
		{"area", "1 in²", 645.16, 1e-6, 1e-9, hb44},
		{"area", "1 ft²", 0.09290304, 1, 1e-15, hb44},
		{"volume", "1 ft³", 28.316846592, 1e-3, 1e-12, hb44},
		{"temperature", "68 °F", 20 + 273.15, 1, 1e-9, defined},
		{"temperature", "-40 °F", -40 + 273.15, 1, 1e-9, defined},
		{"temperature", "32F", 273.15, 1, 1e-9, defined},
		{"temperature", "0 K", 0, 1, 0, defined},
		{"temperature", "-273.15 °C", 0, 1, 1e-9, defined},
	} {
		got, err := si(c.quantity, c.text)
		require.NoError(t, err, c.text)
		assert.InDelta(t, c.value, got/c.per, c.tolerance, "%s (%s)", c.text, c.source)
	}
}

func TestParse(t *testing.T) {
	const tsp, in = 4.92892159375e-6, 0.0254
	for _, c := range []struct {
		quantity, text string
		want           float64
	}{
		{"volume", "2 tbsp", 6 * tsp},
		{"volume", "2tbsp", 6 * tsp},
		{"volume", "2 Tbsp.", 6 * tsp},
		{"volume", "2 tablespoons", 6 * tsp},
		{"volume", "2 level tablespoons", 6 * tsp},
		{"volume", "2 TBS", 6 * tsp},
		{"volume", "1 1/2 tsp", 1.5 * tsp},
		{"volume", "1-1/2 tsp", 1.5 * tsp},
		{"volume", "1½ tsp", 1.5 * tsp},
		{"volume", "1 ½ tsp", 1.5 * tsp},
		{"volume", "½ tsp", 0.5 * tsp},
		{"volume", "3⁄4 tsp", 0.75 * tsp},
		{"volume", ".5 tsp", 0.5 * tsp},
		{"volume", "2. tsp", 2 * tsp},
		{"volume", "2\u00a0tsp", 2 * tsp},
		{"volume", "1 tbsp + 1/2 tsp", 3.5 * tsp},
		{"volume", "1 tbsp, 1 tsp", 4 * tsp},
		{"volume", "1 cup and 1 tbsp", 51 * tsp},
		{"volume", "12 fl oz", 72 * tsp},
		{"volume", "12 fl. oz.", 72 * tsp},
		{"volume", "12 fluid ounces", 72 * tsp},
		{"volume", "5 US gal", 5 * 768 * tsp},
		{"volume", "0 gal", 0},
		{"volume", "20 L", 0.02},
		{"volume", "20 litres", 0.02},
		{"volume", "20 LITERS", 0.02},
		{"volume", "750 ml", 750e-6},
		{"volume", "75 cL", 750e-6},
		{"volume", "2 dL", 200e-6},
		{"volume", "250 µL", 250e-9},
		{"volume", "250 μL", 250e-9}, // Greek mu
		{"volume", "30 cm3", 30e-6},
		{"volume", "30 cm^3", 30e-6},
		{"volume", "30 cm³", 30e-6},
		{"volume", "0.1 m³", 0.1},
		{"mass", "30 g", 0.03},
		{"mass", "30g", 0.03},
		{"mass", "2.5 lb", 2.5 * 0.45359237},
		{"mass", "2.5 lbs.", 2.5 * 0.45359237},
		{"mass", "1 lb 4 oz", 1.25 * 0.45359237},
		{"mass", "1lb4oz", 1.25 * 0.45359237},
		{"mass", "1 lb 4 1/2 oz", (1 + 4.5/16) * 0.45359237},
		{"mass", "15 Grains", 15 * 0.45359237 / 7000},
		{"mass", "250 mg", 250e-6},
		{"temperature", "70 °F", (70 + 459.67) / 1.8},
		{"temperature", "70F", (70 + 459.67) / 1.8},
		{"temperature", "70 deg F", (70 + 459.67) / 1.8},
		{"temperature", "70 degrees Fahrenheit", (70 + 459.67) / 1.8},
		{"temperature", "70 ° F", (70 + 459.67) / 1.8},
		{"temperature", "20 C", 293.15},
		{"temperature", "20℃", 293.15},
		{"temperature", "−5 °C", 268.15},
		{"temperature", "293.15 K", 293.15},
		{"length", "3/4 in", 0.75 * in},
		{"length", `3/4"`, 0.75 * in},
		{"length", "3/4″", 0.75 * in},
		{"length", "5 ft 3 1/2 in", 63.5 * in},
		{"length", "5ft3in", 63 * in},
		{"length", `5' 3-1/2"`, 63.5 * in},
		{"length", "2 mil", 50.8e-6},
		{"length", "50 µm", 50e-6},
		{"length", "25 mm", 0.025},
		{"area", "30 sq in", 30 * in * in},
		{"area", "30 in^2", 30 * in * in},
		{"area", "2 square feet", 288 * in * in},
		{"area", "400 cm2", 0.04},
		{"area", "1 m2", 1},
		{"time", "45 min", 2700},
		{"time", "2 h 30 min", 9000},
		{"time", "2½ hours", 9000},
		{"time", "1 week", 604800},
		{"time", "1 d 12 h", 129600},
	} {
		got, err := si(c.quantity, c.text)
		require.NoError(t, err, c.text)
		assert.InDelta(t, c.want, got, 1e-14+1e-14*math.Abs(c.want), c.text)
	}
}

func TestParseErrors(t *testing.T) {
	for _, c := range []struct {
		quantity, text, reason string
	}{
		{"volume", "", "want a number"},
		{"volume", "tbsp", "want a number"},
		{"volume", "2", "such as tsp, tbsp"},
		{"mass", "2", "a unit such as mg, g, kg, grain, oz, lb at the end"},
		{"volume", "2 tbps", `a unit such as tbsp at "tbps"`},
		{"volume", "2 galons", "such as gallons"},
		{"mass", "2 punds", "such as pounds"},
		{"mass", "2 gm", "written g"},
		{"volume", "2 xyzzy", "such as tsp"},
		{"volume", "2 T", "tbsp or tsp"},
		{"volume", "2 t", "tbsp, tsp or tonne"},
		{"volume", "2 c", "cup"},
		{"volume", "2 ML", "mL"},
		{"volume", "1 pinch", "no agreed size"},
		{"volume", "2 heaped tbsp", "a level spoon, or a weight"},
		{"volume", "8 oz", "fl oz"},
		{"mass", "8 fl oz", "written oz"},
		{"mass", "2 gr", "grain or g"},
		{"mass", "2 tons", "short ton, long ton"},
		{"mass", "2 tbsp", "unit of volume"},
		{"mass", "-2 g", "0 or more"},
		{"volume", "−2 L", "0 or more"},
		{"mass", "NaN g", "want a number"},
		{"mass", "Inf g", "want a number"},
		{"mass", "+2 g", "want a number"},
		{"mass", "1e3 g", `a unit such as mg, g, kg, grain, oz, lb at "e3 g"`},
		{"mass", "1,000 g", "comma"},
		{"mass", "2,5 g", "comma"},
		{"mass", "1/0 lb", "over zero"},
		{"mass", "1/ lb", "in a fraction"},
		{"mass", "1/2/3 lb", "two whole numbers in a fraction"},
		{"mass", "1/2.5 lb", "two whole numbers in a fraction"},
		{"mass", "1.5/2 lb", "one decimal point"},
		{"mass", "1.2.3 lb", "one decimal point"},
		{"mass", "1 3/2 lb", "below 1"},
		{"mass", ". lb", "want a number"},
		{"mass", "1 lb 4", "a unit such as mg"},
		{"mass", "1 lb and", "nothing more at \"and\""},
		{"mass", "1 lb +", "a number after + at the end"},
		{"mass", "1 lb of powder", "nothing more at \"of powder\""},
		{"mass", "1 lb (16 oz)", "nothing more"},
		{"mass", "5 (g)", `a unit such as mg, g, kg, grain, oz, lb at "(g)"`},
		{"temperature", "-300 °C", "absolute zero"},
		{"temperature", "-500 F", "absolute zero"},
		{"temperature", "-1 K", "absolute zero"},
		{"temperature", "20 °C 5 °C", "one temperature only"},
		{"temperature", "70°", "which degrees"},
		{"temperature", "70 degrees", "which degrees"},
		{"temperature", "70", "°C, °F, K"},
		{"time", "5 m", "unit of length"},
		{"mass", strings.Repeat("1 g ", 100), "at most 200 bytes"},
	} {
		_, err := si(c.quantity, c.text)
		require.ErrorIs(t, err, chem.ErrInput, c.text)
		var refused *chem.InputError
		require.ErrorAs(t, err, &refused)
		assert.Equal(t, c.quantity, refused.Field)
		assert.LessOrEqual(t, len([]rune(refused.Value)), 60+len(`"…"`))
		assert.ErrorContains(t, err, c.reason, c.text)
	}
}

func TestParseAmount(t *testing.T) {
	a, err := measure.ParseAmount("2 tbsp")
	require.NoError(t, err)
	assert.InDelta(t, 29.5735295625e-3, a.VolumeLitres, 1e-15)
	assert.Zero(t, a.MassGrams)
	v := unit.Volume(a.VolumeLitres) * measure.Litre

	a, err = measure.ParseAmount("1 lb 4 oz")
	require.NoError(t, err)
	assert.InDelta(t, 1250*0.45359237, a.MassGrams, 1e-12)
	assert.Zero(t, a.VolumeLitres)

	for text, reason := range map[string]string{
		"1 lb 2 tbsp": "a volume cannot be added to a mass",
		"20 L 5 gal":  "do not add up to one",
		"1 lb + 20 g": "do not add up to one",
		"2":           "mg, g, kg, grain, oz, lb, tsp, tbsp",
		"20 °C":       "unit of temperature",
		"-1 g":        `mass or volume is "-1 g": want 0 or more`,
	} {
		_, err := measure.ParseAmount(text)
		require.ErrorIs(t, err, chem.ErrInput)
		assert.ErrorContains(t, err, reason)
	}

	powder := measure.BulkDensity{Loose: 620, Typical: 690, Tapped: 760}
	r, err := a.Weigh(measure.BulkDensity{})
	require.NoError(t, err, "a mass needs no density")
	m := a.MassGrams
	assert.Equal(t, measure.MassRange{LowGrams: m, TypicalGrams: m, HighGrams: m}, r)
	_, err = measure.Amount{VolumeLitres: float64(v / measure.Litre)}.Weigh(measure.BulkDensity{})
	require.ErrorIs(t, err, chem.ErrInput)
	r, err = measure.Amount{VolumeLitres: float64(v / measure.Litre)}.Weigh(powder)
	require.NoError(t, err)
	assert.Equal(t, powder.MassOf(v), r)
	assert.Equal(t, measure.AmountOfMass(unit.Mass(m)*measure.Gram), a)
	for _, bad := range []measure.Amount{{MassGrams: -1}, {VolumeLitres: -1}, {MassGrams: math.NaN()}, {MassGrams: 5, VolumeLitres: 2}} {
		_, err := bad.Weigh(powder)
		require.ErrorIs(t, err, chem.ErrInput)
	}
	assert.Equal(t, "30 mL", measure.Amount{VolumeLitres: float64(v / measure.Litre)}.String())
	assert.Equal(t, "570 g", a.String())
	assert.Equal(t, "0 g", measure.Amount{}.String())
}

// The mass of a level spoon: the product of two published figures, the bulk
// density of technical tetrasodium EDTA powder (690 ± 70 kg/m³, technical data
// for the powder) and the US tablespoon.
func TestLevelSpoon(t *testing.T) {
	powder := measure.BulkDensity{Loose: 620, Typical: 690, Tapped: 760}
	_, err := measure.Amount{VolumeLitres: 1}.Weigh(powder)
	require.NoError(t, err)
	spoon, err := measure.ParseVolume("1 tbsp")
	require.NoError(t, err)
	r := powder.MassOf(spoon)
	assert.InDelta(t, 10.2, r.TypicalGrams, 0.05)
	assert.InDelta(t, 9.2, r.LowGrams, 0.05)
	assert.InDelta(t, 11.2, r.HighGrams, 0.05)
	assert.InDelta(t, float64(spoon), float64(powder.VolumeOf(r.Typical())), 1e-18)
	same := measure.BulkDensity{Loose: 1000, Typical: 1000, Tapped: 1000}
	assert.InEpsilon(t, 14.787, same.MassOf(spoon).TypicalGrams, 1e-4)

	for _, bad := range []measure.BulkDensity{
		{}, {-1, 2, 3}, {2, 1, 3}, {1, 3, 2}, {1, 2, 1e6}, {math.NaN(), 1, 2}, {1, math.NaN(), 2}, {1, 2, math.NaN()},
	} {
		_, err := measure.Amount{VolumeLitres: 1}.Weigh(bad)
		assert.ErrorIs(t, err, chem.ErrInput)
	}
}
