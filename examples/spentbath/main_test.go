package main

import (
	"flag"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/examples/internal/clitest"
)

func TestProgram(t *testing.T) {
	typos := []string{
		"-bath 20", "-bath 0 L", "-taken x", "-drops 0", "-drops many", "-titrant 3 mL", "-into 3", "-per-drop 1",
		"-calcium 0.1", "-calcium -1 mol/L", "-titrant 3 mL", "-burette tap", "-drop 0.05 mL", "-calcium-error 0.1", "-drop-error 2", "-wanted -1", "-iron 5", "-taken-error -1",
	}
	text := clitest.Check(t, run, nil, typos...)
	assert.Contains(t, text, "last drop on the mixture")
	with := func(more ...string) clitest.Run {
		return func(args []string, out, diagnostics io.Writer) error {
			if len(args) == 1 && args[0] == "-h" { // its examples do not go with more
				fmt.Fprint(out, "-json")
				return flag.ErrHelp
			}
			return run(append(more, args...), out, diagnostics)
		}
	}
	calcium := with("-calcium", "0.1 mol/L", "-taken", "5 mL", "-drops", "62", "-wanted", "0.03", "-iron", "0.02")
	text = clitest.Check(t, calcium, nil, "-drop 0 mL", "-burette tap")
	assert.Contains(t, text, "left until the iron has settled")
	assert.Contains(t, text, "0.0615")
	syringe := with("-calcium", "10000 ppm", "-titrant", "3.1 mL", "-taken", "5 mL", "-burette", "syringe 10 mL")
	clitest.Check(t, syringe, nil, "-titrant 3", "-titrant 0 mL", "-drops 5")
}

// As many drops on the mixture as on the water is the commonest answer of a spent bath:
// a drop of 1 gpg (17.1 mg/L as CaCO3, 0.171 mmol/L) in 105 mL for 5 mL of bath counts 3.6 mmol/L.
func TestSpent(t *testing.T) {
	var out strings.Builder
	require.NoError(t, run([]string{"-water-drops", "22", "-drops", "22"}, &out, io.Discard))
	assert.Contains(t, out.String(), "the bath is spent")
	assert.Contains(t, out.String(), "0.00359 mol/L")
}

// Counts that do not fit are told: 200 mL of bath thin 100 mL of water from 22 drops to
// 22·100/300 = 7, and no chelant makes more of them.
func TestCountsThatDoNotFit(t *testing.T) {
	said := func(args ...string) string {
		var out strings.Builder
		require.NoError(t, run(append(args, "-wide"), &out, io.Discard))
		return out.String()
	}
	assert.True(t, strings.HasPrefix(said("-water-drops", "22", "-drops", "13", "-taken", "200 mL"), "The counts do not fit: thinned by the sample the water alone would take 7 drops, and the mixture took 13."))
	assert.NotContains(t, said("-water-drops", "22", "-drops", "7", "-taken", "200 mL"), "do not fit")
	assert.NotContains(t, said("-water-drops", "22", "-drops", "22"), "do not fit", "a drop more or less is within what one counts")
}

// What is nothing is told by the flag that said so, in the kit's test and in that with calcium.
func TestNothingIsTold(t *testing.T) {
	calcium := []string{"-calcium", "0.1 mol/L"}
	for _, args := range [][]string{
		{"-taken", "0 mL"}, {"-into", "0 mL"}, {"-per-drop", "0 gpg"}, {"-drops", "0"}, {"-water-drops", "0"},
		append(calcium[:2:2], "-taken", "0 mL"), append(calcium[:2:2], "-drop", "0 mL"), append(calcium[:2:2], "-drops", "0"), append(calcium[:2:2], "-titrant", "0 mL"),
	} {
		err := run(args, io.Discard, io.Discard)
		require.Error(t, err)
		flag := args[len(args)-2]
		text := strings.Replace(strings.Replace(err.Error(), "WaterDrops", "-water-drops", 1), "Drops", "-drops", 1) // as Main does
		assert.True(t, strings.HasPrefix(text, flag+" is 0"), "%s: %v", flag, err)
	}
}
