package main

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/examples/internal/cli"
)

func output(t *testing.T, args ...string) string {
	t.Helper()
	var out bytes.Buffer
	require.NoError(t, run(args, &out, io.Discard), "%v", args)
	return out.String()
}

// Every table prints the same rows as text, CSV and JSON, and every source that
// a row names is there.
func TestEveryTableInEveryFormat(t *testing.T) {
	for _, name := range slices.Sorted(maps.Keys(kinds)) {
		rows, err := csv.NewReader(strings.NewReader(output(t, "-table", name, "-csv"))).ReadAll()
		require.NoError(t, err, name)
		var parsed struct {
			Rows    []map[string]any
			Sources []struct{ Key string }
		}
		require.NoError(t, json.Unmarshal([]byte(output(t, "-table", name, "-json")), &parsed), name)
		assert.Len(t, parsed.Rows, len(rows)-1, name)
		assert.Len(t, parsed.Rows[0], len(rows[0]), name)
		text := output(t, "-table", name)
		assert.GreaterOrEqual(t, strings.Count(text, "\n"), len(rows), name)
		if i := slices.Index(rows[0], "source"); i >= 0 {
			for _, row := range rows[1:] {
				for _, key := range strings.Split(row[i], ";") {
					assert.True(t, key == "" || strings.Contains(text, "\n  "+key+" ("), "%s: %s is cited", name, key)
				}
			}
		}
	}
}

func TestAnswers(t *testing.T) {
	assert.Contains(t, output(t), "rust-phases")
	assert.Contains(t, output(t, "-species", "bicarbonate"), "row 172626")
	assert.Contains(t, output(t, "-species", "Fe3+"), "a component")
	// pKa of H2PO4- at zero ionic strength, 7.198 (NIST SRD 46 row 174233).
	assert.Contains(t, output(t, "-reaction", "H2PO4- = HPO4^2- + H+", "-ionic", "0"), "log10 K = -7.20 ± 0.0")
	assert.Contains(t, output(t, "-metal", "calcium", "-ligand", "edta", "-ph", "10", "-with", "Na+=0.1"), "log10 K′ is 8 or more")
	assert.Contains(t, output(t, "-metal", "Ca2+", "-ligand", "acetate"), "at most")
	fits := output(t, "-table", "fits", "-only", "phthalate", "-csv")
	assert.Equal(t, 3, strings.Count(fits, "\n"))
	assert.Contains(t, fits, "pht2- + H+ = Hpht-,5.408,")
}

func TestBadInputEndsWithTwo(t *testing.T) {
	for _, c := range []struct {
		says string
		args []string
	}{
		{"such as solids", []string{"-table", "solid"}},
		{"goethite", []string{"-species", "goetite"}},
		{"edetate", []string{"-metal", "Fe3+", "-ligand", "edtta"}},
		{"together", []string{"-metal", "Fe3+"}},
		{"one of -table", []string{"-table", "solids", "-species", "Fe3+"}},
		{"none of the 6 rows", []string{"-table", "rusts", "-only", "zzz"}},
		{"products exceed", []string{"-reaction", "Fe3+ = Fe2+"}},
		{"Fe(gluc)+", []string{"-reaction", "Fe3+ + 3 gluc- = Fe(gluc)3"}},
		{"-temperature", []string{"-temperature", "120 °C"}},
		{"-ionic", []string{"-ionic", "NaN"}},
		{"-with", []string{"-with", "Na"}},
		{"ammonia", []string{"-metal", "Fe3+", "-ligand", "edta", "-with", "amonia=1"}},
		{"-ph", []string{"-ph", "x"}}, {"0 to 14", []string{"-metal", "Ca2+", "-ligand", "edta", "-ph", "-3"}},
		{"-ionic 0.5 changes nothing", []string{"-ionic", "0.5"}}, {"-ph 4 changes nothing", []string{"-species", "Fe3+", "-ph", "4"}},
		{"stands by itself", []string{"solids"}},
		{"-tabel is not a flag of tables; -table is: -help", []string{"-tabel", "solids"}},
	} {
		err := run(c.args, io.Discard, io.Discard)
		require.Error(t, err, "%v", c.args)
		assert.Equal(t, 2, cli.ExitCode(err), "%v", c.args)
		assert.ErrorContains(t, err, c.says, "%v", c.args)
	}
}

// The package tells of every column what it is, with its unit, and of every table where
// it comes from; .ci/datapackage.js reads it back with a reader of others.
func TestExport(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, run([]string{"-export", folder}, io.Discard, io.Discard))
	text, err := os.ReadFile(filepath.Join(folder, "datapackage.json"))
	require.NoError(t, err)
	var p dataPackage
	require.NoError(t, json.Unmarshal(text, &p))
	require.Len(t, p.Resources, len(kinds))
	for _, r := range p.Resources {
		file, err := os.Open(filepath.Join(folder, r.Path))
		require.NoError(t, err)
		rows, err := csv.NewReader(file).ReadAll()
		require.NoError(t, file.Close())
		require.NoError(t, err)
		require.Greater(t, len(rows), 1, r.Name)
		for i, f := range r.Schema.Fields {
			require.Equal(t, rows[0][i], f.Name)
			require.NotEmpty(t, f.Description, "%s of %s", f.Name, r.Name)
		}
	}
	require.ErrorContains(t, run([]string{"-export", folder, "-table", "fits"}, io.Discard, io.Discard), "want one of")
}

// A component is made of nothing, so that no constants are to be shown: that is said, and
// no heads of tables stand without a row.
func TestComponent(t *testing.T) {
	for _, more := range [][]string{nil, {"-temperature", "77 F"}} {
		text := output(t, append([]string{"-species", "edta4-"}, more...)...)
		assert.Contains(t, text, "a component")
		assert.NotContains(t, text, "ionic strength")
		assert.NotContains(t, text, "log")
	}
}

// 65 and 25 mg/L as CaCO3 of calcium and magnesium are 5.3 grains per US gallon:
// a grain is 64.79891 mg, a gallon 3.785411784 L (NIST Special Publication 811, 2008,
// appendix B.8), so that one is 17.118 mg/L.
func TestHardnessInGrains(t *testing.T) {
	assert.Regexp(t, `(?m)moderately-hard-tap .* 5\.3 gpg`, output(t, "-wide", "-table", "waters", "-units", "us"))
	assert.NotContains(t, output(t, "-table", "waters"), "gpg")
}
