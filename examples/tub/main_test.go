package main

import (
	"encoding/json"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/examples/internal/clitest"
)

func TestProgram(t *testing.T) {
	text := clitest.Check(t, run, nil,
		"-box 50 x 35 x 25", "-box 50 cm x 35 cm", "-bucket 0 cm x 30 cm x 36 cm", "-part 12", "-part-height 30 cm", "-cover 20 cm",
		"-amount-per-litre 25", "-bag 0 g", "-drag-out 100 L", "-acid lye", "-ph 13")
	require.Contains(t, text, "covers the part")
}

func answer(t *testing.T, args ...string) string {
	t.Helper()
	var out strings.Builder
	require.NoError(t, run(args, &out, io.Discard), args)
	return out.String()
}

// A cloth on a panel is answered with how to mix its bath and what comes next, in the
// measures it was asked in, and without a tub that nobody asked for. 1 to 1.5 L/m² of
// cloth is for 8 ft² (0.743 m², NIST Handbook 44, Appendix C) a quart or so.
func TestPanel(t *testing.T) {
	text := answer(t, "-panel", "8 ft²")
	require.Regexp(t, `^Mix 1\.[1-6] qt of bath: .* of\nTetrasodium EDTA`, text)
	require.Contains(t, text, "\n\nNext: wet the cloth")
	require.NotContains(t, text, "covers the part")
	require.NotContains(t, text, " mL")
	require.NotContains(t, answer(t, "-panel", "8 ft²", "-json"), `"fill"`)
	for _, idle := range [][]string{{"-panel", "8 ft²", "-bag", "5 lb"}, {"-panel", "8 ft²", "-csv"}, {"-panel", "1 m"}} {
		require.ErrorIs(t, run(idle, io.Discard, io.Discard), chem.ErrInput, idle)
	}
}

// Lengths are read as people write them: the unit once, at the end, with any sign between.
func TestLengths(t *testing.T) {
	want := answer(t, "-box", "40 cm x 30 cm x 25 cm")
	for _, box := range []string{"40x30x25 cm", "40 X 30 X 25cm", "40 cm × 30 × 25 cm", "0.4 m by 30 cm by 25 cm", "40*30*25 cm"} {
		require.Equal(t, want, answer(t, "-box", box), box)
	}
}

// No bath stands at no height, and a part that does not fit is told by its flag in the
// measure it was given in.
func TestEdges(t *testing.T) {
	require.Contains(t, answer(t, "-csv"), "\n0,0,0\n")
	err := run([]string{"-box", "20 in x 14 in x 10 in", "-part-height", "15 in"}, io.Discard, io.Discard)
	require.ErrorContains(t, err, "-part-height: ")
	require.Contains(t, measure.Customary(err.Error()), "is 15 in: want at most 10 in")
	require.ErrorContains(t, run([]string{"-part", "400 kg"}, io.Discard, io.Discard), "-part: ")
}

// A salt that starts below the pH wanted is met with lye where no acid is said, as in the
// other programs; an acid that was asked for is refused.
func TestAcidSalt(t *testing.T) {
	require.Contains(t, answer(t, "-chelant", "disodium EDTA", "-wide"), "of Sodium hydroxide to pH 7.0")
	require.ErrorContains(t, run([]string{"-chelant", "disodium EDTA", "-acid", "vinegar"}, io.Discard, io.Discard), "want a base")
}

// An open tub is told the dose for now and for good, and waits for its gas the shorter the
// more surface its shape gives the same bath; under a lid the gas stays.
func TestStands(t *testing.T) {
	days := func(args ...string) (to, surface float64) {
		var x result
		args = append(args, "-chelant", "disodium EDTA", "-acid", "washing soda", "-part", "1 kg", "-part-height", "1 cm", "-json")
		require.NoError(t, json.Unmarshal([]byte(answer(t, args...)), &x))
		require.InEpsilon(t, x.Plan.Acid.MassGrams, x.Plan.InTheOpen.AdvisedGrams, 1e-9)
		return x.Plan.InTheOpen.DaysTo.Typical, x.Fill.LevelWithPartCM
	}
	shallow, low := days("-box", "50 cm x 40 cm x 25 cm", "-cover", "3 cm")
	deep, high := days("-box", "50 cm x 40 cm x 25 cm", "-cover", "11 cm")
	require.InEpsilon(t, high/low, deep/shallow, 0.05, "as the depth")
	require.NotContains(t, answer(t, "-stands", "lidded"), "for good")
	require.Contains(t, answer(t), "for good")
	require.ErrorContains(t, run([]string{"-stands", "ajar"}, io.Discard, io.Discard), "-stands")
}
