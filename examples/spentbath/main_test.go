package main

import (
	"io"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.com/chelation/examples/internal/clitest"
)

func TestProgram(t *testing.T) {
	typos := []string{
		"-bath 20", "-bath 0 L", "-taken x", "-drops 0", "-drops many", "-drops 30", "-into 3", "-per-drop 1",
		"-calcium 0.1", "-calcium -1 mol/L", "-titrant 3 mL", "-burette tap", "-drop 0.05 mL", "-calcium-error 0.1", "-drop-error 2", "-wanted -1", "-iron 5", "-taken-error -1",
	}
	text := clitest.Check(t, run, nil, typos...)
	assert.Contains(t, text, "last drop on the mixture")
	calcium := func(args []string, out, diagnostics io.Writer) error {
		return run(append([]string{"-calcium", "0.1 mol/L", "-taken", "5 mL", "-drops", "62", "-wanted", "0.03", "-iron", "0.02"}, args...), out, diagnostics)
	}
	text = clitest.Check(t, calcium, nil, "-drop 0 mL", "-burette tap")
	assert.Contains(t, text, "left until the iron has settled")
	assert.Contains(t, text, "0.0615")
	syringe := func(args []string, out, diagnostics io.Writer) error {
		return run(append([]string{"-calcium", "10000 ppm", "-titrant", "3.1 mL", "-taken", "5 mL", "-burette", "syringe 10 mL"}, args...), out, diagnostics)
	}
	clitest.Check(t, syringe, nil, "-titrant 3", "-titrant 0 mL")
}
