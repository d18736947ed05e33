// Package outside holds no code. Its test plays a stranger: it makes a module of
// its own elsewhere, imports the library, and plans a bath, with no network and
// nothing but what the library itself needs.
package outside

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/tables"
)

func TestStranger(t *testing.T) {
	if testing.Short() {
		t.Skip("builds a module")
	}
	library, err := filepath.Abs("../..")
	require.NoError(t, err)
	dir := t.TempDir()
	for from, to := range map[string]string{
		"testdata/stranger/main.go": "main.go",
		"../../go.sum":              "go.sum",
	} {
		text, err := os.ReadFile(from)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(dir, to), text, 0o644))
	}
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
	printed := do("run", ".")

	want := plan(t)
	assert.Equal(t, fmt.Sprintf("%.6g g of %s\n", want.Acid.MassGrams, want.Acid.Name), printed)

	linked := do("list", "-deps", "-f", "{{with .Module}}{{.Path}}{{end}}", ".")
	assert.Contains(t, linked, "gonum.org/v1/gonum")
	assert.NotContains(t, linked, "testify", "tests of the library bring nothing into other programs")
}

// plan is the stranger's bath, planned here.
func plan(t *testing.T) *recipe.Plan {
	t.Helper()
	data, err := tables.Standard()
	require.NoError(t, err)
	tap, err := data.Water("hard tap water")
	require.NoError(t, err)
	salt, err := data.Reagent("disodium EDTA")
	require.NoError(t, err)
	soda, err := data.Reagent("washing soda")
	require.NoError(t, err)
	p, err := recipe.Recipe{
		Water: tap, Volume: unit.Volume(0.010), Temperature: chem.Celsius(15),
		Chelant: salt, Amount: measure.AmountOfMass(0.3), Acid: soda, PH: 7,
	}.Plan(data)
	require.NoError(t, err)
	return p
}
