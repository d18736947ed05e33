package measure

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The fractions of Unicode (The Unicode Standard, Number Forms, and Latin-1) are what
// they say, as those written with a slash are: by division here. A cup is 236.588 2365
// mL (NIST SP 811, B.8).
func TestVulgarFractions(t *testing.T) {
	const cup = 236.5882365e-6
	for sign, slash := range map[string]string{
		"½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5", "⅙": "1/6",
		"⅚": "5/6", "⅐": "1/7", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅑": "1/9", "⅒": "1/10",
	} {
		over, under, _ := strings.Cut(slash, "/")
		upper, err := ParseVolume(over + " cups")
		require.NoError(t, err)
		lower := map[string]float64{"2": 2, "3": 3, "4": 4, "5": 5, "6": 6, "7": 7, "8": 8, "9": 9, "10": 10}[under]
		for _, written := range []string{sign, slash} {
			v, err := ParseVolume(written + " cup")
			require.NoError(t, err, written)
			require.InEpsilon(t, float64(upper)/lower, float64(v), 1e-12, written)
		}
	}
	third, err := ParseVolume("1⅓ cups")
	require.NoError(t, err)
	require.InEpsilon(t, cup+cup/3, float64(third), 1e-9)
}
