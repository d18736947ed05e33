// Package outside holds no code. Its test plays a stranger: it makes a module of
// its own elsewhere, imports the library, adds a chelant and a metal that the
// tables lack by rows alone, and asks of them what it would ask of EDTA, with no
// network and nothing but what the library itself needs.
package outside

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestStranger(t *testing.T) {
	if testing.Short() {
		t.Skip("builds a module")
	}
	library, err := filepath.Abs("../..")
	require.NoError(t, err)
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, os.DirFS("testdata/stranger")))
	sums, err := os.ReadFile("../../go.sum")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "go.sum"), sums, 0o644))
	do := func(args ...string) string {
		t.Helper()
		c := exec.Command("go", args...)
		c.Dir = dir
		c.Env = append(os.Environ(), "GOFLAGS=-mod=mod", "GOPROXY=off", "GOWORK=off")
		out, err := c.CombinedOutput()
		require.NoError(t, err, "go %v: %s", args, out)
		return string(out)
	}
	do("mod", "init", "stranger.example/shed")
	do("mod", "edit", "-replace", "example.com/chelation="+library, "-require", "example.com/chelation@v0.0.0")

	// The sum of NIST SRD 46 rows 162088, 161952 and 161957, 0.2 + 12.5 + 7.6, is 4.8
	// below row 108639 for EDTA, 25.1, and 0.2 more once the potassium that this was
	// measured in is taken off EDTA. With three anions, as from pH 7 on, iron is held
	// all the same.
	assert.Equal(t, `EDTA to disulfocatecholate: log K -5.1
plan: 18.9 g of Sodium hydroxide to pH 7
dsc4-: 2.09 mol, 0.001 of it with hardness
held at pH 7 it takes 42.7 g of iron
diagnosis: working
Fe3+ in Fe(dsc)3^9-   99.9 %
Fe3+ in Fe(dsc)2^5-    0.1 %
Cr2+ in Cr(edta)^2-  100.0 %
Cr2+ in Cr2+           0.0 %
`, do("run", "."))

	linked := do("list", "-deps", "-f", "{{with .Module}}{{.Path}}{{end}}", ".")
	assert.Contains(t, linked, "gonum.org/v1/gonum")
	assert.NotContains(t, linked, "testify", "tests of the library bring nothing into other programs")
}
