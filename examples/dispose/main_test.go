package main

import (
	"bytes"
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

// A small bath of water without hardness is answered too: what was not told, the rust taken
// and the water's pH, bows to what was.
func TestUntoldBows(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, run([]string{"-volume", "1 qt", "-amount", "1 tbsp", "-hardness", "0 mg/L"}, &out, &out))
	require.ErrorContains(t, run([]string{"-volume", "1 qt", "-amount", "1 tbsp", "-rust-taken", "50 g"}, &out, &out), "at most")
}
