package measure_test

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
)

// fillsOf counts the spoonfuls that a text asks for.
func fillsOf(t *testing.T, text string) (fills int) {
	t.Helper()
	parts := map[string]map[string]int{
		"cup":        {"1/4": 1, "1/3": 1, "1/2": 1, "2/3": 2, "3/4": 2}, // 2/3 is twice 1/3, 3/4 is 1/2 and 1/4
		"tablespoon": {}, "teaspoon": {"1/8": 1, "1/4": 1, "1/2": 1, "3/4": 1},
	}
	for term := range strings.SplitSeq(strings.ReplaceAll(strings.TrimPrefix(text, "about "), "level ", ""), " + ") {
		words := strings.Fields(term)
		part, known := parts[strings.TrimSuffix(words[len(words)-1], "s")]
		require.True(t, known, text)
		for _, number := range words[:len(words)-1] {
			if n, err := strconv.Atoi(number); err == nil {
				fills += n
			} else {
				require.Contains(t, part, number, text)
				fills += part[number]
			}
		}
	}
	return fills
}

// No other choice of whole cups with a part of one, tablespoons, teaspoons and a part of
// one comes within a twentieth with fewer fills, nor nearer with as many: by trying all.
func TestSpoonsAreTheFewest(t *testing.T) {
	const eighth = 4.92892159375e-6 / 8 // m³, of a US teaspoon (NIST Handbook 44, Appendix C)
	const most = 3 * 384
	least := slices.Repeat([]int{math.MaxInt}, 2*most)
	least[0] = 0
	for cups := range 4 {
		for part, n := range map[int]int{0: 0, 96: 1, 128: 1, 192: 1, 256: 2, 288: 2} { // of a cup
			for tablespoons := range 17 {
				for teaspoons := range 4 {
					for less, m := range map[int]int{0: 0, 1: 1, 2: 1, 3: 2, 4: 1, 5: 2, 6: 1, 7: 2} { // of a teaspoon
						at := 384*cups + part + 24*tablespoons + 8*teaspoons + less
						least[at] = min(least[at], cups+n+tablespoons+teaspoons+m)
					}
				}
			}
		}
	}
	random := rand.New(rand.NewPCG(5, 6))
	for range 3000 {
		asked := math.Pow(10, 3*random.Float64())
		names, holds, err := measure.Spoons(unit.Volume(asked * eighth))
		require.NoError(t, err)
		best, off := math.MaxInt, math.Inf(1)
		for n := int(math.Ceil(0.95 * asked)); float64(n) <= 1.05*asked; n++ {
			if d := math.Abs(float64(n) - asked); least[n] < best || least[n] == best && d < off {
				best, off = least[n], d
			}
		}
		if best == math.MaxInt { // none is so near: the nearest
			best, off = least[int(math.Round(asked))], math.Abs(math.Round(asked)-asked)
		}
		held := float64(holds) / eighth
		require.Equal(t, best, fillsOf(t, names), "%g eighths: %s", asked, names)
		require.InDelta(t, off, math.Abs(held-asked), 1e-6, "%g eighths: %s", asked, names)
		require.Equal(t, math.Abs(held/asked-1) > 0.005, strings.HasPrefix(names, "about "), names)
		require.Equal(t, 1, strings.Count(names, "level "), names)
	}
	for cups := 20.0; cups < 200; cups += 1.3 { // more than that one weighs: never off by two
		_, holds, err := measure.Spoons(unit.Volume(cups * 384 * eighth))
		require.NoError(t, err)
		require.Less(t, math.Abs(float64(holds)/eighth/384-cups), 2.0)
	}
}

var numbered = regexp.MustCompile(`^(-?[\d./]+(?: \d+/\d+)?) (.+)$`)

// What is rewritten is the same amount, within the rounding of what was written or 1 %, in
// a unit of the trade with the factor of NIST Handbook 44, Appendix C; and the unit is
// the largest of which there is about one.
func TestCustomaryIsTheSameAmount(t *testing.T) {
	const pound, gallon, inch = 453.59237, 3.785411784, 2.54 // g, L, cm
	type customary struct {
		symbol string
		size   float64 // of the metric unit
	}
	units := map[string][]customary{ // the largest first; the last where there is less
		"kg": {{"lb", pound / 1000}, {"oz", pound / 16000}}, "g": {{"lb", pound}, {"oz", pound / 16}, {"g", 1}},
		"m³": {{"gal", gallon / 1000}}, "L": {{"gal", gallon}, {"qt", gallon / 4}, {"fl oz", gallon / 128}},
		"mL": {{"gal", 1000 * gallon}, {"qt", 250 * gallon}, {"fl oz", 1000 * gallon / 128}, {"mL", 1}},
		"m":  {{"ft", 0.12 * inch}, {"in", inch / 100}}, "cm": {{"ft", 12 * inch}, {"in", inch}, {"mil", inch / 1000}}, "mm": {{"ft", 120 * inch}, {"in", 10 * inch}, {"mil", inch / 100}}, "µm": {{"in", 1e4 * inch}, {"mil", 10 * inch}},
		"m²": {{"ft²", 1.44 * inch * inch / 100}}, "cm²": {{"ft²", 144 * inch * inch}, {"in²", inch * inch}}, "g/L": {{"oz/gal", pound / 16 / gallon}},
		"mg/L as CaCO3": {{"gpg", 1000 * pound / 7000 / gallon}},
	}
	from := map[string]float64{"ft": 3, "fl oz": 0.5, "in": 1. / 16}                                                    // elsewhere 0.97: a litre is not called 0.97 of something
	finest := map[string]float64{"oz": 0.1, "fl oz": 0.5, "qt": 0.1, "gal": 0.1, "in": 1. / 16, "mil": 0.1, "gpg": 0.1} // that a scale, a cup, a ruler or a kit shows
	random := rand.New(rand.NewPCG(7, 8))
	seen := map[string]bool{}
	for _, metric := range slices.Sorted(maps.Keys(units)) {
		choices := units[metric]
		for range 300 {
			digits := 1 + random.IntN(3)
			x, err := strconv.ParseFloat(strconv.FormatFloat(math.Pow(10, -1+4.5*random.Float64()), 'e', digits-1, 64), 64)
			require.NoError(t, err)
			number := strconv.FormatFloat(x, 'f', -1, 64)
			text := measure.Customary("take " + number + " " + metric + " of it")
			written := strings.TrimSuffix(strings.TrimPrefix(text, "take "), " of it")
			if strings.Contains(written, " lb ") { // pounds and ounces
				m, err := measure.ParseMass(written)
				require.NoError(t, err)
				require.InEpsilon(t, x, float64(m/measure.Gram)/map[string]float64{"g": 1, "kg": 1000}[metric], 0.026)
				continue
			}
			parts := numbered.FindStringSubmatch(written)
			require.NotNil(t, parts, text)
			n := 0.0
			for term := range strings.FieldsSeq(parts[1]) { // 2 1/8
				over, under, fraction := strings.Cut(term, "/")
				y, err := strconv.ParseFloat(over, 64)
				require.NoError(t, err, text)
				if fraction {
					parts, err := strconv.ParseFloat(under, 64)
					require.NoError(t, err, text)
					require.Contains(t, []float64{2, 4, 8, 16}, parts, text)
					y /= parts
				}
				n += y
			}
			half := 0.5 // of the last digit that was written
			if _, decimals, found := strings.Cut(number, "."); found {
				half *= math.Pow10(-len(decimals))
			} else {
				half *= math.Pow10(min(len(number)-len(strings.TrimRight(number, "0")), max(0, len(number)-2)))
			}
			for i, c := range choices {
				least, there := from[c.symbol]
				if !there {
					least = 0.97
				}
				if i < len(choices)-1 && x/c.size < least {
					continue
				}
				require.Equal(t, c.symbol, parts[2], text)
				require.InDelta(t, x/c.size, n, max(half/c.size, 0.01*x/c.size, finest[c.symbol]/2)*1.0001+5e-3*x/c.size, text)
				seen[metric+c.symbol] = true
				break
			}
		}
		// a range is told in one unit, whichever end is larger
		one := measure.Customary("20 to 40 " + metric)
		require.Regexp(t, `^[\d./ ]+ to [\d./ ]+ \S`, one)
		require.Equal(t, one, measure.Customary("20 "+metric+" to 40 "+metric), "nor is it where both ends have theirs")
		if metric != "mL" {
			require.NotContains(t, one, " "+metric)
		}
	}
	require.Len(t, seen, 27)
	for _, little := range []string{"1 mg", "2000 mg", "27 g", "3.5 to 22 g", "14 mL"} { // less than an ounce is weighed in g
		require.Equal(t, little, measure.Customary(little))
	}
	// differences of temperature have no zero to add
	for text, want := range map[string]string{"5 °C": "41 °F", "-40 °C": "-40 °F", "5 °C below": "9 °F below", "20 ± 5 °C": "36 ± 9 °F", "by 100 °C": "by 180 °F", "0 to 100 °C": "32 to 212 °F"} {
		require.Equal(t, want, measure.Customary(text))
	}
}

// An amount needs a number, a mass or a volume of it, and a bulk density that rises, is
// above nothing and no heavier than osmium, 22.6 g/cm³ (CRC Handbook, from memory).
func TestAmountsAndBulk(t *testing.T) {
	for _, bad := range []string{"kg", "cup", "1 kg + cup", "1 kg + 1 cup", "", "2", "-1 g", "1 °C"} {
		_, err := measure.ParseAmount(bad)
		require.ErrorIs(t, err, chem.ErrInput, bad)
	}
	for density, sound := range map[measure.BulkDensity]bool{
		{Loose: 0.5, Typical: 0.6, Tapped: 0.7}: true, {Loose: 22600, Typical: 22600, Tapped: 22600}: true, {Loose: 700, Typical: 800, Tapped: 900}: true,
		{}: false, {Loose: 0, Typical: 1, Tapped: 2}: false, {Loose: 3, Typical: 2, Tapped: 4}: false, {Loose: 1, Typical: 5, Tapped: 4}: false,
		{Loose: 22600, Typical: 22600, Tapped: 22601}: false, {Loose: math.NaN(), Typical: 1, Tapped: 2}: false,
	} {
		_, err := measure.Amount{VolumeLitres: 1}.Weigh(density)
		require.Equal(t, sound, err == nil, "%+v", density)
	}
	d := measure.BulkDensity{Loose: 700, Typical: 800, Tapped: 900}
	require.Equal(t, measure.MassRange{LowGrams: 175, TypicalGrams: 200, HighGrams: 225}, d.MassOf(measure.Litre/4))
	require.InEpsilon(t, 0.25, float64(d.VolumeOf(200*measure.Gram)/measure.Litre), 1e-12)
	m, err := measure.AmountOfMass(30 * measure.Gram).Weigh(measure.BulkDensity{})
	require.NoError(t, err)
	require.Equal(t, measure.MassRange{LowGrams: 30, TypicalGrams: 30, HighGrams: 30}, m)
	for _, bad := range []measure.Amount{{MassGrams: -1}, {VolumeLitres: -1}, {MassGrams: 1, VolumeLitres: 1}, {MassGrams: math.Inf(1)}} {
		_, err := bad.Weigh(d)
		require.ErrorIs(t, err, chem.ErrInput)
	}
}

// Two digits, three where the first is a one, and never more than there is of a portion.
func TestRoundingOfAll(t *testing.T) {
	random := rand.New(rand.NewPCG(9, 10))
	for range 3000 {
		grams := math.Pow(10, -1+5*random.Float64())
		text := measure.FormatGrams(grams)
		number, symbol, _ := strings.Cut(text, " ")
		x, err := strconv.ParseFloat(number, 64)
		require.NoError(t, err)
		size := map[string]float64{"mg": 1e-3, "g": 1, "kg": 1000}[symbol]
		require.InDelta(t, grams, x*size, 0.05000001*math.Pow10(int(math.Floor(math.Log10(grams)))), text)
		digits := strings.Trim(strings.TrimLeft(strings.ReplaceAll(number, ".", ""), "0"), "0")
		if strings.HasPrefix(digits, "1") {
			require.LessOrEqual(t, len(digits), 3, text)
		} else {
			require.LessOrEqual(t, len(digits), 2, text)
		}
		require.True(t, x >= 1 && x < 1000 || symbol == "g" && x >= 0.1 || symbol == "kg", text)
		down := measure.RoundDown(grams)
		require.LessOrEqual(t, down, grams*(1+1e-12))
		require.Greater(t, down, 0.9*grams)
		require.LessOrEqual(t, len(strings.Trim(strings.ReplaceAll(fmt.Sprintf("%.4g", down), ".", ""), "0")), 2)
	}
	for _, nothing := range []float64{0, -1, math.NaN()} {
		require.Zero(t, measure.RoundDown(nothing))
	}
}
