package cli

import (
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem/measure"
)

// Answers come in the order of the lines, and a line that is wrong does not stop them.
func TestLines(t *testing.T) {
	run := func(args []string, out, diagnostics io.Writer) error {
		f, _ := Flags("double", "doubles.", out)
		volume, times := f.String("volume", "1 L", "to double"), f.Float64("times", 2, "")
		if err := Parse(f, args); err != nil {
			return err
		}
		var in Input
		v := Flag(&in, "volume", *volume, measure.ParseVolume)
		if in.Err != nil {
			return in.Err
		}
		return JSON(out, map[string]float64{"volume_l": *times * float64(v/measure.Litre)})
	}
	var in, want strings.Builder
	for i := range 200 {
		fmt.Fprintf(&in, "{\"volume\": \"%d L\"}\n", i)
		fmt.Fprintf(&want, "{\"version\":\"3\",\"line\":%d,\"volume_l\":%d}\n", i+1, 3*i)
	}
	var out strings.Builder
	require.NoError(t, Lines(run, []string{"-times", "3"}, strings.NewReader(in.String()), &out, io.Discard))
	require.Equal(t, want.String(), out.String())

	out.Reset()
	err := Lines(run, nil, strings.NewReader("\ufeffvolume, times\n\"1.5 L\",\n\n1 L,3\n1 L\n"), &out, io.Discard)
	require.ErrorContains(t, err, "1 of 3 lines")
	table := strings.Split(strings.TrimSpace(out.String()), "\n")
	require.Equal(t, []string{`{"version":"3","line":2,"volume_l":3}`, `{"version":"3","line":4,"volume_l":3}`}, table[:2])
	require.Contains(t, table[2], "CSV of 2 fields")
	require.Contains(t, table[2], `"line":5`)

	out.Reset()
	err = Lines(run, nil, strings.NewReader("{\"volume\": 20}\n\nnonsense\n{\"litres\": 3}\n{\"volume\": \"1 L\"}\nnull\n"), &out, io.Discard)
	require.Equal(t, 2, ExitCode(err))
	require.ErrorContains(t, err, "4 of 5 lines")
	lines := strings.Split(strings.TrimSpace(out.String()), "\n")
	require.Len(t, lines, 5)
	require.Contains(t, lines[0], `"line":1`)
	require.Contains(t, lines[0], "volume")
	require.Contains(t, lines[1], `"line":3`)
	require.Contains(t, lines[2], "litres is not a flag")
	require.Equal(t, `{"version":"3","line":5,"volume_l":2}`, lines[3])
	require.Contains(t, lines[4], "null")
}
