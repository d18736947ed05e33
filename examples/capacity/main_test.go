package main

import (
	"io"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/examples/internal/clitest"
)

func TestProgram(t *testing.T) {
	text := clitest.Check(t, run, []string{"-show", "limit"},
		"-oxide gothite", "-oxide calcite", "-show drit", "-csv", "-ph 1", "-volume 20", "-starts 7,x", "-starts ,",
		"-rise 0", "-rust-per-part 2", "-acid lye", "-thickness 50", "-amount 0 g")
	require.Contains(t, text, "Left alone while lepidocrocite goes in")
	clitest.Check(t, func(args []string, out, diagnostics io.Writer) error {
		return run(append([]string{"-open", "-oxide", "magnetite", "-ph", "6"}, args...), out, diagnostics)
	}, []string{"-show", "drift"})
}
