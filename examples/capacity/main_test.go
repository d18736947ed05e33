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
	text := clitest.Check(t, run, []string{"-show", "limit"},
		"-oxide gothite", "-oxide calcite", "-show drit", "-csv", "-ph 1", "-volume 20", "-starts 7,x", "-starts ,",
		"-rise 0", "-rust-per-part 2", "-acid lye", "-thickness 50", "-amount 0 g", "-more -json")
	require.True(t, strings.HasPrefix(text, "Left alone the bath takes 69 g of lepidocrocite"), "the answer first")
	require.NotContains(t, text, "Left alone while lepidocrocite goes in")
	var all bytes.Buffer
	require.NoError(t, run([]string{"-more"}, &all, io.Discard))
	clitest.Narrow(t, all.String())
	require.Contains(t, all.String(), "Left alone while lepidocrocite goes in")
	clitest.Check(t, func(args []string, out, diagnostics io.Writer) error {
		return run(append([]string{"-open", "-oxide", "magnetite", "-ph", "6"}, args...), out, diagnostics)
	}, []string{"-show", "drift"})
}
