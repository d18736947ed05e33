package lessons

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"flag"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/examples/internal/clitest"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// tolerance is relative: far above what compilers and processors differ by, and
// within the three digits that a reader sees. Values below dust are what rounding
// leaves of a balance.
const (
	tolerance = 1e-3
	dust      = 1e-15
)

func TestLessons(t *testing.T) {
	if testing.Short() {
		t.Skip("builds and runs the programs")
	}
	bin := t.TempDir()
	build := exec.Command("go", "build", "-ldflags=-s -w", "-o", bin+string(filepath.Separator), "./...")
	out, err := build.CombinedOutput()
	require.NoError(t, err, "%s", out)

	programs, err := filepath.Glob("*/main.go")
	require.NoError(t, err)
	require.NotEmpty(t, programs)
	overview, err := os.ReadFile("doc.go")
	require.NoError(t, err)
	vocabulary, err := os.ReadFile(filepath.Join("..", "vocabulary.csv"))
	require.NoError(t, err)
	for _, p := range programs {
		name := filepath.Dir(p)
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			assert.Contains(t, string(overview), "//\t"+name+" ", "the course lists every lesson")
			program := filepath.Join(bin, name)
			table := run(t, 0, program, "-csv")
			golden := filepath.Join("golden", name+".csv")
			if *update {
				require.NoError(t, os.WriteFile(golden, table, 0o644))
			}
			want, err := os.ReadFile(golden)
			require.NoError(t, err)
			compare(t, records(t, want), records(t, table))

			text := string(run(t, 0, program))
			lines := map[string]bool{} // CSV has several rows for one that is read across
			for _, row := range records(t, table) {
				lines[row[0]] = true
			}
			assert.Greater(t, strings.Count(text, "\n"), len(lines), "text has the table, a title and a remark")
			for _, head := range records(t, table)[0] {
				assert.Contains(t, string(vocabulary), "\n"+head+",", "heads of columns are words of the vocabulary")
			}
			assert.NotContains(t, text, "NaN")
			assert.NotContains(t, text, "%!")
			clitest.Narrow(t, text)
			object(t, run(t, 0, program, "-json"), records(t, table))
			clitest.Narrow(t, string(run(t, 0, program, "-help")))
			run(t, 2, program, "-no-such-flag")
			run(t, 2, program, "stray")
		})
	}
}

// run runs a program to its end and returns what it prints.
func run(t *testing.T, code int, program string, args ...string) []byte {
	t.Helper()
	var out, diagnostics bytes.Buffer
	c := exec.Command(program, args...)
	c.Stdout, c.Stderr = &out, &diagnostics
	err := c.Run()
	if code == 0 {
		require.NoError(t, err, "%s %v: %s", program, args, diagnostics.String())
		return out.Bytes()
	}
	require.Equal(t, code, c.ProcessState.ExitCode(), "%v: %v", args, err)
	assert.Empty(t, out.String(), "nothing but the complaint")
	assert.NotEmpty(t, diagnostics.String())
	return nil
}

func records(t *testing.T, text []byte) [][]string {
	t.Helper()
	all, err := csv.NewReader(bytes.NewReader(text)).ReadAll()
	require.NoError(t, err)
	return all
}

func compare(t *testing.T, want, got [][]string) {
	t.Helper()
	require.Len(t, got, len(want))
	for i := range want {
		require.Len(t, got[i], len(want[i]), "row %d", i)
		for j := range want[i] {
			assert.True(t, same(want[i][j], got[i][j]), "row %d, %s: want %s, got %s", i, want[0][j], want[i][j], got[i][j])
		}
	}
}

func same(want, got string) bool {
	w, err := strconv.ParseFloat(want, 64)
	if err != nil {
		return want == got
	}
	g, err := strconv.ParseFloat(got, 64)
	return err == nil && math.Abs(g-w) <= tolerance*math.Abs(w)+dust
}

// object checks that the JSON holds the same table under the same names.
func object(t *testing.T, text []byte, table [][]string) {
	t.Helper()
	var x struct {
		Title   string
		Rows    []map[string]any
		Remarks []string
	}
	require.NoError(t, json.Unmarshal(text, &x))
	assert.NotEmpty(t, x.Title)
	assert.NotEmpty(t, x.Remarks)
	require.Len(t, x.Rows, len(table)-1)
	for i, row := range x.Rows {
		require.Len(t, row, len(table[0]))
		for j, name := range table[0] {
			switch v := row[name].(type) {
			case float64:
				assert.True(t, same(table[i+1][j], strconv.FormatFloat(v, 'g', -1, 64)), "row %d, %s", i, name)
			default:
				assert.Equal(t, table[i+1][j], v, "row %d, %s", i, name)
			}
		}
	}
}

// A check that cannot fail is none: numbers may differ in the fourth digit and not
// in the third, and text has to agree to the letter.
func TestSame(t *testing.T) {
	assert.True(t, same("7.000", "7.001"))
	assert.False(t, same("7.00", "7.01"))
	assert.False(t, same("7", "NaN"))
	assert.False(t, same("7", "seven"))
	assert.False(t, same("blue", "red"))
	assert.False(t, same("1e-12", "2e-12"))
}
