package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/examples/internal/cli"
	"example.com/chelation/examples/internal/clitest"
	"example.com/chelation/tables"
)

func TestProgram(t *testing.T) {
	text := clitest.Check(t, run, []string{"-species", "Ca2+, Mg2+", "-slopes"},
		"-titrant 0.1 mol/L unobtainium", "-titrant 0.1", "-titrant x mol/L HCl", "-titrant 1 kg/L HCl", "-holds -1 mol/L HCl",
		"-follow Xx", "-follow Cu2+", "-ph ten", "-ph 40", "-to 5", "-to 5 kg", "-points 1", "-step -1", "-sample 0 mL", "-sample 50",
		"-indicators eriochrom", "-species Cu2+", "-allow chalk dust", "-constants Hac", "-constants Hac=x", "-equivalence H+",
		"-equivalence Ca2+ = 0", "-tolerance 0", "-temperature hot", "-water sea")
	require.Contains(t, text, "by stoichiometry, Mg2+ + Ca2+ = edta4-")
	require.Contains(t, text, "yes  Eriochrome black T")
	require.Contains(t, text, "\n\nNext: put Calmagite in", "the best that suits")
}

// What to do next comes right after where it ends: with an indicator, with a probe where
// none suits, with more titrant where nothing ends.
func TestNext(t *testing.T) {
	for next, args := range map[string][]string{
		"put Phenolphthalein in":              {"-water", "", "-holds", "0.1 mol/L acetic acid", "-titrant", "0.1 mol/L sodium hydroxide", "-follow", "H+", "-ph", "free"},
		"no indicator suits: follow pH":       {"-titrant", "0.02 mol/L HCl", "-follow", "H+", "-ph", "free", "-sample", "100 mL", "-units", "us"},
		"no equivalence lies in this range: ": {"-to", "3 mL"},
	} {
		var out bytes.Buffer
		require.NoError(t, run(args, &out, io.Discard))
		clitest.Narrow(t, out.String())
		parts := strings.SplitN(out.String(), "\n\n", 3)
		assert.True(t, strings.HasPrefix(parts[0], "Where it ends"), parts[0])
		assert.True(t, strings.HasPrefix(parts[1], "Next: "+next), parts[1])
	}
}

// An ion without its charge is proposed with it.
func TestFollowWithoutCharge(t *testing.T) {
	for asked, near := range map[string]string{"Mg": `such as "Mg2+"`, "Ca": `such as "Ca2+"`, "Fe": `such as "Fe2+" or "Fe3+"`} {
		require.ErrorContains(t, run([]string{"-follow", asked}, io.Discard, io.Discard), near)
	}
}

// Acetic acid by the book's constant: 8.73 at equivalence (as in the tests of the
// library), read back from the CSV of a pipe.
func TestPipe(t *testing.T) {
	var out bytes.Buffer
	require.NoError(t, run([]string{
		"-csv", "-water", "", "-holds", "0.1 mol/L Hac", "-titrant", "0.1 mol/L Na+; 0.1 mol/L OH-", "-follow", "H+", "-ph", "free",
		"-constants", "Hac=4.757; OH-=-14", "-ideal", "-points", "3", "-to", "100 mL",
	}, &out, io.Discard))
	rows, err := csv.NewReader(strings.NewReader(out.String())).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 4)
	assert.Equal(t, []string{"titrant_ml", "p_followed", "followed", "ph", "ionic_strength_mol_per_l"}, rows[0])
	for i, want := range []float64{2.88, 8.73, 12.52} {
		x, err := strconv.ParseFloat(rows[i+1][1], 64)
		require.NoError(t, err)
		assert.InDelta(t, want, x, 0.006)
	}
}

// The curve that the program prints is read back, and the acid found in it.
func TestFitFromAFile(t *testing.T) {
	setup := func(holds string) []string {
		return []string{"-water", "", "-holds", holds, "-titrant", "0.1 mol/L sodium hydroxide", "-follow", "H+", "-ph", "free", "-to", "60 mL"}
	}
	var curve bytes.Buffer
	require.NoError(t, run(append(setup("0.0873 mol/L Hac"), "-csv", "-species", "ac-, H+"), &curve, io.Discard))
	name := filepath.Join(t.TempDir(), "readings.csv")
	require.NoError(t, os.WriteFile(name, curve.Bytes(), 0o600))
	var out bytes.Buffer
	fit := func(args ...string) error {
		out.Reset()
		return run(slices.Concat(setup("0.05 mol/L Hac"), []string{"-readings", name}, args), &out, io.Discard)
	}
	require.NoError(t, fit("-fit", "Hac; pKa Hac; offset", "-csv"))
	rows, err := csv.NewReader(&out).ReadAll()
	require.NoError(t, err)
	c, err := strconv.ParseFloat(rows[1][1], 64)
	require.NoError(t, err)
	assert.InDelta(t, 0.0873, c, 1e-6)
	require.NoError(t, fit("-fit", "Hac"))
	require.NoError(t, fit("-fit", "Hac", "-json"))
	var whole struct {
		Residuals []float64 `json:"residuals_p"`
	}
	require.NoError(t, json.Unmarshal(out.Bytes(), &whole))
	assert.Len(t, whole.Residuals, 31, "a point is one reading, of however many species it tells")
	for _, bad := range []string{";", "Hxx", "pKa ac-", "Ca2+", "Hac; Hac"} {
		assert.Equal(t, 2, cli.ExitCode(fit("-fit", bad)), bad)
	}
	assert.Equal(t, 2, cli.ExitCode(fit("-fit", "Hac", "-readings", name+"x")))
	require.NoError(t, os.WriteFile(name, []byte("1,3\n2,x\n"), 0o600))
	assert.Equal(t, 2, cli.ExitCode(fit("-fit", "Hac")))
}

// A constant is found in the readings of an electrode for the metal.
func TestFitOfAConstant(t *testing.T) {
	setup := func(more ...string) []string {
		return append([]string{"-water", "", "-holds", "0.005 mol/L Ca2+", "-titrant", "0.01 mol/L disodium EDTA", "-follow", "Ca2+", "-to", "40 mL", "-csv"}, more...)
	}
	var curve, out bytes.Buffer
	require.NoError(t, run(setup("-constants", "Ca(edta)^2-=9.5"), &curve, io.Discard))
	name := filepath.Join(t.TempDir(), "readings.csv")
	require.NoError(t, os.WriteFile(name, curve.Bytes(), 0o600))
	require.NoError(t, run(setup("-constants", "Ca(edta)^2-=8", "-readings", name, "-fit", "log K Ca(edta)^2-; strength"), &out, io.Discard))
	rows, err := csv.NewReader(&out).ReadAll()
	require.NoError(t, err)
	for i, want := range []float64{9.5, 1} {
		x, err := strconv.ParseFloat(rows[i+1][1], 64)
		require.NoError(t, err)
		assert.InDelta(t, want, x, 1e-6, rows[i+1][0])
	}
	assert.Equal(t, 2, cli.ExitCode(run(setup("-readings", name, "-fit", "log K Ca2+"), &out, io.Discard)))
}

func FuzzMixture(f *testing.F) {
	for _, text := range []string{"0.1 mol/L acetic acid", "5 g/L NaCl; 2 mmol/L Ca2+", ";;", "1 mol/L", "1e400 M HCl", "NaN g/L borax", "1 mg/L FeOOH(s, goethite)"} {
		f.Add(text)
	}
	t, err := tables.Standard()
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(_ *testing.T, text string) {
		_, _ = mix(t, 298.15, 50e-6, "", text) // an error or a vessel, but no panic
	})
}
