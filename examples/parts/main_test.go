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
	text := clitest.Check(t, run, nil,
		"-area 0 m²", "-area 5", "-class C7", "-years 0", "-years 100", "-thickness 5", "-rust red", "-ph 14", "-had 5", "-bare x", "-time 2")
	require.Contains(t, text, "brushing saves")
	require.Contains(t, strings.Join(strings.Fields(text), " "), "of waiting")
}

// More rust than the tub takes, brushed or not.
func TestTooMuch(t *testing.T) {
	for class, want := range map[string]string{"C3": "would not finish", "C5": "even so"} {
		var out bytes.Buffer
		require.NoError(t, run([]string{"-class", class}, &out, io.Discard))
		require.Contains(t, strings.Join(strings.Fields(out.String()), " "), want)
	}
}

// The answer and the next step come first; nothing is to be brushed that stays out, and a
// warning is said once.
func TestFirstLines(t *testing.T) {
	said := func(args ...string) string {
		var out bytes.Buffer
		require.NoError(t, run(args, &out, io.Discard))
		return strings.Join(strings.Fields(out.String()), " ")
	}
	require.Regexp(t, `^Scraped and brushed first, the rust wants 4.2 L of bath and .* Next: say what is on the parts before`, said())
	require.Contains(t, said("-parts", "lead paint"), "Next: nothing of this goes in")
	require.Contains(t, said("-parts", "galvanised, chrome"), "without the rest")
	require.Equal(t, 1, strings.Count(said("-parts", "paint"), "Test old paint for lead"))
	require.NotContains(t, said("-parts", "chrome", "-more"), "Metals, the most eager first chromium")
	require.Contains(t, said("-parts", "chrome", "-more"), "bare of any film")
	require.Contains(t, said("-parts", "spring"), "Spring bears no pH below 7", "as the program bath says of the same bath")
	require.NotContains(t, said("-parts", "spring", "-ph", "8"), "bears no pH")
	// A file is never baked as its core would be (ASTM B850, note on surface-hardened steel).
	require.Regexp(t, `190 to 220 °C for 16 h .* whatever its hardness, 130 to 160 °C at most: surface-hardened .* files`, said("-parts", "file", "-rockwell", "45"))
	require.NotContains(t, said("-rockwell", "60"), "whatever its hardness")
}
