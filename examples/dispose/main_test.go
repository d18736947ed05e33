package main

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/examples/internal/clitest"
)

func TestProgram(t *testing.T) {
	text := clitest.Check(t, run, nil,
		"-amount 0 g", "-rust-taken x", "-oxide calcite", "-zinc 5", "-acid lye", "-acidify-with lye", "-make-alkaline-with citric acid",
		"-make-alkaline-with salt")
	require.Contains(t, text, "Not fit for a drain")
}
