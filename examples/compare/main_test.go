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
	require.NotContains(t, text, "not faster")
	var all bytes.Buffer
	require.NoError(t, run([]string{"-more"}, &all, io.Discard))
	clitest.Narrow(t, all.String())
	require.Contains(t, all.String(), "not faster")
}
