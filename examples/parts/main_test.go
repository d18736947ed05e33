package main

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/examples/internal/clitest"
)

func TestProgram(t *testing.T) {
	text := clitest.Check(t, run, nil,
		"-area 0 m²", "-area 5", "-class C7", "-years 0", "-years 100", "-thickness 5", "-rust red", "-ph 14", "-had 5", "-bare x", "-time 2")
	require.Contains(t, text, "brushing saves")
	require.Contains(t, text, "copper")
}
