package main

import (
	"bytes"
	"encoding/json"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/examples/internal/clitest"
)

func TestProgram(t *testing.T) {
	text := clitest.Check(t, run, nil,
		"-rust red", "-thickness 5", "-thickness 0 µm", "-area 0 m²", "-motion bubbled", "-oxide calcite", "-ph 14", "-volume 5",
		"-seen clean", "-seen clean after 24", "-seen most after 2 h", "-seen 130 % after 2 h", "-seen half after 0 h", "-seen clean after 2 d at 12")
	require.Contains(t, text, "nine in ten")
	require.Contains(t, text, "half as strong again")
	require.Contains(t, text, "-seen")
	require.True(t, strings.HasPrefix(text, "About 15 hours;"), "the answer first, with when to look")
	require.Contains(t, strings.ReplaceAll(strings.SplitN(text, "\n\n", 2)[0], "\n", " "), "Look after 5 hours")
	require.NotContains(t, text, "more rust than one bath")
}

// More rust than a bath takes is told as so many baths, by their iron: 55.845/88.851 of the
// lepidocrocite that one takes (atomic weights, IUPAC 2021).
func TestBaths(t *testing.T) {
	for _, units := range []string{"metric", "us"} {
		var out bytes.Buffer
		require.NoError(t, run([]string{"-thickness", "200 µm", "-area", "2 m²", "-units", units}, &out, io.Discard))
		clitest.Narrow(t, out.String())
		require.Regexp(t, `(?s)^Never, as it is.*\nThis is more rust than one bath takes:.* 9\sbaths`, out.String())
	}
	x := output(t, "-thickness", "200 µm", "-area", "2 m²")
	require.InEpsilon(t, x.Practical.RustGrams*55.845/88.851, x.Practical.IronGrams, 1e-4)
	baths := 2 * x.Layer.IronGramsPerM2.Typical / x.Practical.IronGrams
	require.True(t, baths > 8 && baths <= 9, baths)
	require.Greater(t, output(t, "-thickness", "200 µm", "-drifts", "-ph", "6").Practical.IronGrams, x.Practical.IronGrams/2)
}

func output(t *testing.T, args ...string) result {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, run(append(args, "-json"), &out, io.Discard))
	var x result
	require.NoError(t, json.Unmarshal(out.Bytes(), &x))
	return x
}

// What is seen narrows the range, in the direction that it should.
func TestSeen(t *testing.T) {
	x := output(t, "-seen", "clean after 12 h", "-seen", "half clean after 4 h at 20 C")
	require.Len(t, x.Seen, 2)
	require.Less(t, x.Now.Hours.High, x.Before.Hours.High)
	require.Less(t, x.Now.Hours.High/x.Now.Hours.Low, x.Before.Hours.High/x.Before.Hours.Low)
	require.Zero(t, x.Odd)
	// Clean in the same time in the cold tells of more.
	cold, warm := output(t, "-seen", "clean after 30 h at 50 F"), output(t, "-seen", "clean after 30 h")
	require.Less(t, cold.Now.Hours.High, warm.Now.Hours.High)
	require.Equal(t, 1, output(t, "-seen", "30 % after 10 d").Odd)
}

// Too much rust for a bath left alone: it says so, and what would make it work.
func TestNever(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, run([]string{"-drifts", "-thickness", "100 µm"}, &out, io.Discard))
	require.Contains(t, out.String(), "Never")
	require.Contains(t, out.String(), "Hold the pH")
	require.NotContains(t, out.String(), "NaN")
	require.NotContains(t, out.String(), "years (years")
	out.Reset()
	require.NoError(t, run([]string{"-amount", "20 g"}, &out, io.Discard))
	require.NotContains(t, out.String(), "each by itself", "nothing makes it work")
}
