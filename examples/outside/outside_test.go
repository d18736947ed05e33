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

	// Iron(III) holds EDTA 25.1 − 22.0 log units more firmly than EDDS (NIST SRD 46
	// rows 108639 and 100774), and 0.2 more once the potassium that the former was
	// measured in is taken off EDTA.
	assert.Equal(t, `EDTA to EDDS: log K -3.4
plan: 122 g of Citric acid, anhydrous to pH 6
edds4-: 1.95 mol, 0.0003 of it with hardness
held at pH 6 it takes 128 g of iron
diagnosis: working
Fe3+ in Fe(edds)-     98.5 %
Fe3+ in Fe(edta)-      1.5 %
Cr2+ in Cr(edta)^2-   98.5 %
Cr2+ in Cr2+           1.5 %
`, do("run", "."))

	linked := do("list", "-deps", "-f", "{{with .Module}}{{.Path}}{{end}}", ".")
	assert.Contains(t, linked, "gonum.org/v1/gonum")
	assert.NotContains(t, linked, "testify", "tests of the library bring nothing into other programs")
}
