package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
)

func output(t *testing.T, args ...string) string {
	t.Helper()
	var out, diagnostics bytes.Buffer
	require.NoError(t, run(args, &out, &diagnostics))
	return out.String()
}

// A lid saves steel, and half of what the iron(III) of the bath weighs goes under it.
func TestLid(t *testing.T) {
	var x result
	require.NoError(t, json.Unmarshal([]byte(output(t, "-json", "-hours", "24,192")), &x))
	require.Len(t, x.Covers, 5)
	lidded, bubbled := x.Covers[0], x.Covers[4]
	iron := 30 * 55.845 / 88.851
	assert.LessOrEqual(t, lidded.SteelLostGrams.High, iron/2+1e-6)
	assert.Greater(t, bubbled.SteelLostGrams.Low, 5*lidded.SteelLostGrams.High)
	assert.InEpsilon(t, x.Covers[2].SteelLostGrams.Typical, x.Hours[1].SteelLostGrams.Typical, 1e-3, "the tub as it stands is still")
	text := output(t, "-hours", "24")
	for _, want := range []string{"lidded", "under a lid", "loosely", "nobody"} {
		assert.Contains(t, text, want)
	}
	text = output(t, "-bare", "100 cm²", "-hours", "24")
	assert.Contains(t, text, "at pH 8.8, 8.8 at first", "a range of nothing is one number")
	assert.NotContains(t, text, "+0.0")
}

// A bath is told to have dissolved what it can: left alone its pH climbs, more than that was
// dissolved with acid that held it, and more still is refused.
func TestHad(t *testing.T) {
	started := func(had string) float64 {
		var x result
		require.NoError(t, json.Unmarshal([]byte(output(t, "-json", "-show", "course", "-hours", "1", "-bare", "0 m²", "-had", had)), &x))
		return x.Start
	}
	assert.Greater(t, started("60 g"), 9.0)
	assert.InDelta(t, 7, started("100 g"), 0.05)
	var out bytes.Buffer
	err := run([]string{"-had", "133 g"}, &out, &out)
	assert.ErrorIs(t, err, chem.ErrInput)
	assert.ErrorContains(t, err, "want at most 115 g")
	assert.Empty(t, out.String())
}

// When a bath is spent does not hang on what hours were asked for.
func TestSpentWhateverHours(t *testing.T) {
	spent := func(hours string) float64 {
		var x result
		require.NoError(t, json.Unmarshal([]byte(output(t, "-json", "-hours", hours)), &x))
		return x.Spent.Typical
	}
	assert.InEpsilon(t, spent("60,120,130,135,140,145,150,192"), spent("720"), 0.01)
}

// What is done on the way is done: acid brings the pH down from there on, parts that are out
// lose no more, and a night without a lid costs what the first night of an open tub does and
// what goes on under the lid.
func TestThen(t *testing.T) {
	told := func(hours string, args ...string) (x result) {
		require.NoError(t, json.Unmarshal([]byte(output(t, append(args, "-json", "-hours", hours)...)), &x))
		return x
	}
	open, night := told("12,24,96"), told("12,24,96", "-then", "lidded after 12 h", "-show", "course")
	steel := func(x result, i int) float64 { return x.Hours[i].SteelLostGrams.Typical }
	assert.InEpsilon(t, steel(open, 0), steel(night, 0), 1e-6)
	assert.Less(t, steel(night, 2), 0.7*steel(open, 2))
	assert.Greater(t, steel(night, 2), open.Covers[0].SteelLostGrams.Typical)
	assert.Zero(t, open.Spent.Typical, "not within four days")
	bubbled := open.Covers[4].Spent
	assert.True(t, 0 < bubbled.Low && bubbled.Low < bubbled.Typical && bubbled.Typical < bubbled.High && bubbled.High < 48, "%v", bubbled)
	acid := told("12,24,26", "-show", "course", "-then", "20 g of citric acid after 1 d", "-then", "parts out after 12 h")
	assert.Equal(t, steel(acid, 0), steel(acid, 2))
	assert.InDelta(t, 24, acid.PastPH.Typical, 0.01, "down, at once")
	assert.Less(t, acid.Hours[1].PH.Typical, 7.6)
	for says, then := range map[string]string{"what and when": "lidded", "a cover, parts out": "ajar after 1 h", "name of the tables": "2 g of citrus after 1 h", "unit": "lidded after 3"} {
		var out bytes.Buffer
		err := run([]string{"-then", then}, &out, &out)
		assert.ErrorIs(t, err, chem.ErrInput, then)
		assert.ErrorContains(t, err, says)
		assert.Empty(t, out.String())
	}
}

// Soda that is dosed for good climbs to the pH wanted and not past it.
func TestSoda(t *testing.T) {
	var x result
	require.NoError(t, json.Unmarshal([]byte(output(t, "-json", "-show", "course", "-chelant", "disodium EDTA", "-acid", "washing soda", "-had", "0 g", "-bare", "0 m²", "-cover", "stirred", "-hours", "1,300")), &x))
	assert.Less(t, x.Hours[0].PH.Typical, 6.6)
	assert.InDelta(t, 7, x.Hours[1].PH.Typical, 0.02)
}

func TestBadInput(t *testing.T) {
	for name, bad := range map[string]string{"cover": "ajar", "light": "moon", "surface": "2 L", "bare": "-1 m²", "had": "much", "hours": "4,2", "area": "1 kg", "thickness": "x", "rust": "gold"} {
		args := []string{"-" + name, bad}
		if name == "thickness" {
			args = append(args, "-area", "0.1 m²")
		}
		var out bytes.Buffer
		err := run(args, &out, &out)
		require.Error(t, err, name)
		assert.Empty(t, out.String(), name)
		var input *chem.InputError
		if name == "hours" || name == "bare" {
			assert.ErrorAs(t, err, &input)
		}
	}
}

// Tap water that was left in the tub for a day tells how fast gas goes through its
// surface: the faster it rises the more, and the range gets narrower; other covers keep
// what they stand for.
func TestTap(t *testing.T) {
	learned := func(args ...string) (x result) {
		require.NoError(t, json.Unmarshal([]byte(output(t, append(args, "-json", "-hours", "24")...)), &x))
		return x
	}
	before, slow, fast := learned(), learned("-show", "course", "-tap", "7.5 after 0 h", "-tap", "7.65 after 24 h"), learned("-tap", "7.5 after 0 h", "-tap", "8 after 1 d")
	assert.Less(t, slow.Air.GasCmPerHour.Typical, fast.Air.GasCmPerHour.Typical)
	assert.Less(t, fast.Air.GasCmPerHour.High/fast.Air.GasCmPerHour.Low, before.Air.GasCmPerHour.High/before.Air.GasCmPerHour.Low)
	assert.Equal(t, before.Covers[3], fast.Covers[3], "stirred")
	assert.NotEqual(t, before.Covers[2], fast.Covers[2], "still")
	soda := []string{"-show", "course", "-chelant", "disodium EDTA", "-acid", "washing soda", "-had", "0 g", "-bare", "0 m²"}
	told := learned(soda...).Hours[0].PH.Typical
	slower := learned(append(soda, "-read", fmt.Sprintf("%.2f after 0 h", learned(soda...).Start), "-read", fmt.Sprintf("%.2f after 24 h", told-0.08))...)
	assert.Less(t, slower.Air.GasCmPerHour.Typical, before.Air.GasCmPerHour.Typical, "a soda bath read twice")
	assert.Less(t, slower.Hours[0].PH.Typical, told)
	for says, args := range map[string][]string{
		"one or the other":     {"-tap", "8 after 5 h", "-read", "8 after 5 h"},
		"want a pH and a time": {"-tap", "8"}, "want a unit": {"-tap", "8 after 5"}, "lets gas through": {"-tap", "8 after 5 h", "-cover", "lidded"},
		"fit no still tub": {"-tap", "7.5 after 0 h", "-tap", "9.9 after 1 h"}, "pH read": {"-tap", "80 after 5 h"},
	} {
		var out, diagnostics bytes.Buffer
		err := run(args, &out, &diagnostics)
		assert.ErrorIs(t, err, chem.ErrInput, says)
		assert.ErrorContains(t, err, says)
		assert.Empty(t, out.String())
	}
}
