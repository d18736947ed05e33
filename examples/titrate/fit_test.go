package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Readings of a curve that the program itself has computed: as they are, one of them half a
// unit off, and with stated uncertainties that they do not keep.
func TestAfterAFit(t *testing.T) {
	job := []string{"-water", "", "-holds", "0.08 mol/L Hac", "-titrant", "0.1 mol/L sodium hydroxide", "-follow", "H+", "-ph", "free"}
	var curve strings.Builder
	require.NoError(t, run(append(job, "-csv", "-points", "21"), &curve, io.Discard))
	read := func(off func(i int) float64) string {
		file := filepath.Join(t.TempDir(), "readings.csv")
		text := "mL,pH\n"
		for i, line := range strings.Split(strings.TrimSpace(curve.String()), "\n")[1:] {
			var ml, pH float64
			_, err := fmt.Sscanf(strings.ReplaceAll(line, ",", " "), "%g %g", &ml, &pH)
			require.NoError(t, err)
			text += fmt.Sprintf("%g,%.3f\n", ml, pH+off(i))
		}
		require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
		return file
	}
	sound := read(func(i int) float64 { return 0.01 * float64(i%3-1) })
	for _, x := range []struct {
		args []string
		next string
	}{
		{[]string{"-readings", sound}, "use these figures"},
		{[]string{"-readings", read(func(i int) float64 { return 0.5 * float64(i/11-i/12) })}, "read again at 32.99 mL; that reading lies"},
		{[]string{"-readings", sound, "-ph-error", "0.001"}, "look for what the sample holds besides"},
		{[]string{"-readings", sound, "-ph-error", "0.01"}, "use these figures"},
	} {
		var out strings.Builder
		require.NoError(t, run(append(append(job, "-fit", "Hac; pKa Hac"), x.args...), &out, io.Discard))
		assert.Contains(t, strings.Join(strings.Fields(out.String()), " "), "Next: "+x.next)
	}
}
