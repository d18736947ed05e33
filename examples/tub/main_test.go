package main

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/examples/internal/clitest"
)

func TestProgram(t *testing.T) {
	text := clitest.Check(t, run, nil,
		"-box 50 x 35 x 25", "-box 50 cm x 35 cm", "-bucket 0 cm x 30 cm x 36 cm", "-part 12", "-part-height 30 cm", "-cover 20 cm",
		"-amount-per-litre 25", "-bag 0 g", "-drag-out 100 L", "-acid lye", "-ph 13")
	require.Contains(t, text, "covers the part")
}
