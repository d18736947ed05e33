package clitest

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every program of this module is run with its answer stored, and at least one figure of it is
// held to arithmetic beside it; calibration, whose answer is of chance, has a test of its own that
// holds each way to what chance makes of the goals.
func TestEveryProgramIsHeldToArithmetic(t *testing.T) {
	mains, err := filepath.Glob("../../*/main.go")
	require.NoError(t, err)
	n := 0
	for _, path := range mains {
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		name := filepath.Base(filepath.Dir(path))
		_, err = os.Stat(filepath.Join(filepath.Dir(path), "go.mod"))
		if !bytes.Contains(text, []byte("cli.Main(")) || err == nil || name == "calibration" {
			continue
		}
		n++
		at := slices.IndexFunc(programs, func(p program) bool { return p.name == name })
		if assert.GreaterOrEqual(t, at, 0, "%s is not run", name) {
			assert.NotNil(t, programs[at].checks, "%s is held to no figure", name)
		}
	}
	assert.Len(t, programs, n, "each once, and no others")
}
