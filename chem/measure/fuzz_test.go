package measure_test

import (
	"math"
	"testing"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"github.com/stretchr/testify/require"
)

var seeds = []string{
	"2 tbsp", "1 1/2 tsp", "½ tsp", "1½ cups", "2.5 lb", "5 gal", "70 °F", "70F", "20 L", "1 lb 4 oz", "12 fl oz",
	"3/4 in", `5' 3-1/2"`, "30 cm^3", "-5 °C", "2 h 30 min", "1 tbsp + 1/2 tsp", "2 level tablespoons", "5 % w/v",
	"1 lb per 5 gal", "10 g/100 mL", "1/2/3 lb", "1,5 g", "2 T", "μm", "5ft3in",
}

// fuzz checks that a parser answers every text with a finite number that is
// not negative, or with an input error.
func fuzz(f *testing.F, parse func(string) (float64, error)) {
	for _, s := range seeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, in string) {
		x, err := parse(in)
		if err != nil {
			require.ErrorIs(t, err, chem.ErrInput)
			require.Zero(t, x)
			return
		}
		require.GreaterOrEqual(t, x, 0.0)
		require.False(t, math.IsInf(x, 0))
	})
}

func fuzzQuantity(f *testing.F, quantity string) {
	fuzz(f, func(s string) (float64, error) { return si(quantity, s) })
}

func FuzzParseMass(f *testing.F)        { fuzzQuantity(f, "mass") }
func FuzzParseVolume(f *testing.F)      { fuzzQuantity(f, "volume") }
func FuzzParseTemperature(f *testing.F) { fuzzQuantity(f, "temperature") }
func FuzzParseLength(f *testing.F)      { fuzzQuantity(f, "length") }
func FuzzParseArea(f *testing.F)        { fuzzQuantity(f, "area") }
func FuzzParseTime(f *testing.F)        { fuzzQuantity(f, "time") }

func FuzzParseAmount(f *testing.F) {
	fuzz(f, func(s string) (float64, error) {
		a, err := measure.ParseAmount(s)
		return a.MassGrams + a.VolumeLitres, err
	})
}
