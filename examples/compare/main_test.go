package main

import (
	"bytes"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/examples/internal/clitest"
)

func TestProgram(t *testing.T) {
	text := clitest.Check(t, run, []string{"-show", "ways"},
		"-acids citrus", "-acids ,", "-acids lye", "-bags 9", "-bought 30", "-bought 30 per kg takes 1 g", "-bought 30 per gal takes much",
		"-price citric acid", "-price citrus=4/lb", "-price citric acid=x/lb", "-strengths 0", "-show way", "-csv", "-citrate 300", "-rust red", "-more -csv")
	first, _, _ := strings.Cut(text, "\n\n")
	require.Contains(t, strings.Join(strings.Fields(first), " "), "costs least", "the answer first")
	require.True(t, strings.HasPrefix(text, "By invented prices"), "what rests on made-up money says so first")
	require.NotContains(t, text, "not faster")
	var all, priced bytes.Buffer
	require.NoError(t, run([]string{"-price", "citric acid=£3/kg"}, &priced, io.Discard))
	require.True(t, strings.HasPrefix(priced.String(), "By your prices, and invented ones for what you gave none"))
	require.NoError(t, run([]string{"-more"}, &all, io.Discard))
	clitest.Narrow(t, all.String())
	require.Contains(t, strings.Join(strings.Fields(all.String()), " "), "By invented prices (give yours with -price)")
	require.Contains(t, all.String(), "hardly faster")
}

// A salt that starts below the pH wanted is compared with bases where no acids are said; an
// acid that was asked for is refused.
func TestAcidSalt(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, run([]string{"-chelant", "disodium EDTA", "-show", "ways", "-csv"}, &out, io.Discard))
	rows := strings.Split(out.String(), "\n")
	require.Contains(t, rows[1], "sodium-hydroxide")
	require.Contains(t, rows[2], "sodium-carbonate")
	require.Equal(t, 3, strings.Count(out.String(), "edta-disodium"), "and one with more citrate")
	require.ErrorContains(t, run([]string{"-chelant", "disodium EDTA", "-acids", "vinegar"}, io.Discard, io.Discard), "want a base")
}

// A chelant without a constant for iron is set beside others, named once, and has no terms.
func TestChelantWithoutIron(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, run([]string{"-chelant", "GLDA", "-bought", "30 per gal takes 150 g", "-more"}, &out, io.Discard))
	text := strings.Join(strings.Fields(out.String()), " ")
	require.Contains(t, text, "No constant for iron(III) is evaluated for Tetrasodium GLDA, 47 % liquid nor for Trisodium MGDA: what")
	require.Contains(t, text, "bought 7.93 39.6 200")
	require.NotContains(t, text, "mixed")
}

// A way whose pH its own acid does not bring back, as rust takes the acid up, has no figure; a bath
// that takes nothing has one, and both are compared with what does.
func TestTakesNothing(t *testing.T) {
	var out strings.Builder
	require.NoError(t, run([]string{"-chelant", "NTA", "-amount", "500 g", "-ph", "4"}, &out, io.Discard))
	require.Regexp(t, `Citric acid, anhydrous +\d+ +- `, out.String())
	out.Reset()
	require.NoError(t, run([]string{"-chelant", "sodium gluconate", "-ph", "9.5"}, &out, io.Discard))
	require.Regexp(t, `Sodium hydroxide +[\d.]+ +0 `, out.String())
}
