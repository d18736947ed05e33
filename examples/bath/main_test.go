package main

import (
	"bytes"
	"encoding/json"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/examples/internal/clitest"
)

func output(t *testing.T, args ...string) string {
	var out bytes.Buffer
	require.NoError(t, run(args, &out, io.Discard))
	return out.String()
}

func TestDemo(t *testing.T) {
	text := clitest.Check(t, run, nil, "-parts ,,,", "-csv -wide")
	for _, want := range []string{"500 g (", "Tetrasodium EDTA", "Stir in ", "pH 7.0", "stop as soon as you read 7.0", "fresh rust", "bleach", "local waste office"} {
		assert.Contains(t, text, want)
	}
}

func TestJSON(t *testing.T) {
	var plan struct {
		Acid struct {
			Grams float64 `json:"mass_g"`
			Low   float64 `json:"mass_low_g"`
			High  float64 `json:"mass_high_g"`
		} `json:"acid"`
		PHAfter float64 `json:"ph_after"`
		Steps   []struct {
			Portion struct {
				Grams float64 `json:"mass_g"`
			} `json:"portion"`
			Times int     `json:"times"`
			From  float64 `json:"ph_from"`
			To    float64 `json:"ph_to"`
		} `json:"steps"`
		Cost *struct {
			Total float64 `json:"total_cost"`
		} `json:"cost"`
	}
	text := output(t, "-json", "-chelant-price", "4.50/lb", "-acid-price", "18 per 5 lb")
	require.NoError(t, json.Unmarshal([]byte(text), &plan))
	assert.InDelta(t, 6.93, plan.PHAfter, 0.01, "7 for good, once the gas of the water has left")
	assert.Less(t, plan.Acid.Low, plan.Acid.Grams)
	assert.Greater(t, plan.Acid.High, plan.Acid.Grams)
	sum, ph := 0.0, plan.Steps[0].From
	for _, s := range plan.Steps {
		sum += s.Portion.Grams * float64(s.Times)
		assert.InDelta(t, ph, s.From, 1e-9, "each step starts where the last ended")
		ph = s.To
	}
	assert.InDelta(t, plan.Acid.Grams, sum, 0.5*plan.Steps[len(plan.Steps)-1].Portion.Grams, "the steps add up to the dose")
	require.NotNil(t, plan.Cost)
	assert.InDelta(t, 0.5/0.45359237*4.5+plan.Acid.Grams/2267.96185*18, plan.Cost.Total, 1e-9)
}

// What the parts are is answered for each of them, by the names that people use.
func TestParts(t *testing.T) {
	for _, name := range []string{"chrome", "nickel", "galvanised", "galvanized", "zinc", "tin", "stainless", "cast iron", "spring", "file", "blade", "brass", "bronze",
		"aluminium", "aluminum", "magnesium", "cadmium", "lead paint", "paint", "powder coat", "rubber", "wood",
		"springs", "galvanised bolt", "brass lamp", "chrome bumper", "wooden handle", "painted fender", "bench vise"} {
		assert.Regexp(t, `(?s)Take care\n  [A-Z][^.]* (goes in|stays out)`, output(t, "-parts", name), name)
	}
	assert.NotContains(t, strings.SplitN(output(t, "-wide", "-parts", "aluminum"), "danger:", 2)[0], "but no aluminium")
	assert.Contains(t, output(t, "-wide", "-parts", "aluminum"), "but no aluminum.")
	both := output(t, "-wide", "-parts", "chromed, brass")
	assert.Contains(t, both, "but no brass, bronze or copper.")
	assert.Contains(t, output(t, "-wide", "-temperature", "60 °C"), "Above 45 °C the bath scalds")
	assert.Contains(t, output(t, "-wide", "-parts", "file"), "bake it within hours")
	assert.NotContains(t, output(t, "-wide"), "scalds")
	assert.Contains(t, output(t, "-wide", "-parts", "spring"), "Spring bears no pH below 7, and a strip of whole units may read 7 there: bring a bath for it to pH 8")
	assert.NotContains(t, output(t, "-wide", "-parts", "spring", "-ph", "8"), "bears no pH")
	assert.Less(t, strings.Index(both, "Brass, bronze or copper stays out"), strings.Index(both, "Chromed (chrome plate) goes in while watched"), "the strictest first")
}

// One typo in every input: one line that names the flag, and exit code 2 (that
// of a usage error).
func TestTypos(t *testing.T) {
	for flag, bad := range map[string][]string{
		"volume":        {"20", "20 l litres", "-3 L", "NaN L", "2 tons", "0 L", "1e99 L"},
		"temperature":   {"20", "-300 C", "120 C", "20 X"},
		"water":         {"moderately heard tap water", ""},
		"hardness":      {"120", "x gpg", "-5 gpg", "7 gpm"},
		"alkalinity":    {"120", "12 dB"},
		"chelant":       {"tetrasodum EDTA", "table salt"},
		"amount":        {"500", "0 g", "3 spoons", "T", "100 kg"},
		"acid":          {"citic acid", "table salt", "baking soda"},
		"ph":            {"seven", "NaN", "1", "13"},
		"chelant-price": {"4.50", "x/lb", "4/furlong", "-1/lb", "3/0 lb"},
		"acid-price":    {"cheap"},
		"parts":         {"zink"},
		"water-ph":      {"x", "NaN", "7"},
		"jsn":           {"true"},
	} {
		for _, value := range bad {
			var out bytes.Buffer
			err := run([]string{"-" + flag + "=" + value}, &out, io.Discard)
			if !assert.Error(t, err, "-%s=%s", flag, value) {
				continue
			}
			assert.NotContains(t, err.Error(), "\n", "-%s=%s", flag, value)
			assert.Equal(t, 2, cli.ExitCode(err), "-%s=%s: %v", flag, value, err)
			assert.Empty(t, out.String(), "nothing is printed before the error")
			if !strings.Contains(err.Error(), flag) {
				t.Logf("-%s=%s: %v", flag, value, err)
			}
		}
	}
	err := run([]string{"-water", "hard tap water", "-hardness", "7 gpg"}, io.Discard, io.Discard)
	assert.ErrorContains(t, err, "one or the other")
	assert.Contains(t, output(t, "-parts", "cadmium"), "cadmium waste")
	err = run([]string{"20", "L"}, io.Discard, io.Discard)
	assert.ErrorContains(t, err, "quotes")
}

// What an acid would do to a part is said before the part goes in.
func TestAcidAgainstPart(t *testing.T) {
	text := output(t, "-wide", "-parts", "chromed bumper,stainless", "-acid", "muriatic acid")
	warned, in := strings.Index(text, "Before anything else: Muriatic acid strips chrome"), strings.Index(text, "Put the brushed parts in")
	require.Positive(t, warned)
	require.Less(t, warned, in)
	require.NotContains(t, output(t, "-parts", "chrome"), "Before anything else")
}

// A salt that starts below the pH wanted is met with a base where no acid is said, and an
// acid that cannot get there is refused; soda in an acid salt foams, in whatever is closed.
func TestAcidSalts(t *testing.T) {
	text := output(t, "-wide", "-chelant", "disodium EDTA")
	assert.Contains(t, text, "of Sodium hydroxide")
	assert.NotContains(t, text, "again.", "of an acid that was never added")
	assert.NotContains(t, text, "foam")
	assert.NotContains(t, text, "acid again", "none went in")
	assert.Contains(t, output(t, "-ph", "12"), "Bring it to pH 12.0", "lye in an open tub starts a little beyond")
	err := run([]string{"-chelant", "disodium EDTA", "-acid", "vinegar"}, io.Discard, io.Discard)
	require.ErrorContains(t, err, "want a base")
	for _, salt := range []string{"disodium EDTA", "EDTA acid"} {
		for _, soda := range []string{"washing soda", "baking soda"} {
			text := output(t, "-wide", "-chelant", salt, "-acid", soda)
			assert.Contains(t, text, "foam", salt+soda)
			assert.Regexp(t, "never (cap|close)", text, salt+soda)
			assert.Contains(t, text, "for good", salt+soda)
			assert.Regexp(t, `\n  Doses for pH 7\.0: now`, text, "the dose was told before the portions")
		}
	}
}

// Grains per gallon are milligrams per litre, 17.118 of them (NIST Special Publication 811,
// 2008, appendix B.8: grain and gallon), and who asks in them is answered in gallons.
func TestHardnessInGrains(t *testing.T) {
	var grains, milligrams map[string]any
	require.NoError(t, json.Unmarshal([]byte(output(t, "-json", "-hardness", "7 gpg")), &grains))
	require.NoError(t, json.Unmarshal([]byte(output(t, "-json", "-hardness", "119.826 mg/L")), &milligrams))
	dose := func(plan map[string]any) float64 { return plan["acid"].(map[string]any)["mass_g"].(float64) }
	assert.InEpsilon(t, dose(milligrams), dose(grains), 1e-5)
	assert.Contains(t, output(t, "-hardness", "7 gpg"), " gal ")
	assert.Contains(t, output(t, "-wide", "-volume", "5 gal", "-amount", "1 lb"), "now 2.6 oz, for good 2.7 oz")
	assert.NotContains(t, output(t, "-wide", "-volume", "5 gal", "-amount", "2 cups", "-temperature", "100 F"), "Doses for", "to a tenth of an ounce they are one")
}

// A chelant of which nobody has evaluated what it does to iron is mixed all the same, and said
// so; no time and no rust is told of its bath.
func TestChelantWithoutIron(t *testing.T) {
	text := strings.Join(strings.Fields(output(t, "-chelant", "GLDA", "-more")), " ")
	assert.Contains(t, text, "no iron(III) constant is evaluated for it")
	assert.Contains(t, text, "as 680 mL of carbon dioxide leave", "an open tub")
	assert.NotContains(t, text, "The lid keeps the gas in")
	assert.NotContains(t, text, "fresh rust:")
	assert.NotContains(t, output(t, "-chelant", "GLDA", "-json"), `"outlook"`)
}
