package care_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/recipe"
	"example.com/chelation/tables"
)

// Cautions come from what the recipe and the parts contain, the strongest
// first.
func TestCautions(t *testing.T) {
	keys := func(change func(*recipe.Recipe)) []string {
		r := demo.Recipe(t)
		change(&r)
		p, err := r.Plan(demo.Tables(t))
		require.NoError(t, err)
		var out []string
		warned := false
		for _, c := range p.Cautions {
			out = append(out, c.Key)
			if c.Signal != tables.Danger {
				warned = true
			} else {
				require.False(t, warned, "%s comes after a warning", c.Key)
			}
			require.NotEmpty(t, c.Text)
		}
		for _, a := range p.Practice {
			require.NotEmpty(t, a.Source, a.Do)
		}
		return out
	}
	plain := keys(func(*recipe.Recipe) {})
	require.Contains(t, plain, "acid-with-bleach")
	require.Contains(t, plain, "used-bath")
	require.Contains(t, plain, "disposal")
	require.NotContains(t, plain, "chelant-on-zinc")
	require.NotContains(t, plain, "paint")
	require.LessOrEqual(t, len(plain), 8)
	parts := keys(func(r *recipe.Recipe) { r.Materials = []string{"zinc", "paint", "lead", "hardened-steel"} })
	for _, key := range []string{"chelant-on-zinc", "chelant-on-lead", "paint", "acid-on-hard-steel"} {
		require.Contains(t, parts, key)
	}
	strong := keys(func(r *recipe.Recipe) { r.Acid = demo.Reagent(t, "muriatic acid") })
	require.Contains(t, strong, "H314")
}

// One caution on bleach says both that chlorine comes of it and that the chelant
// suffers.
func TestOneCautionOnBleach(t *testing.T) {
	p, err := demo.Recipe(t).Plan(demo.Tables(t))
	require.NoError(t, err)
	found := 0
	for _, c := range p.Cautions {
		if strings.Contains(c.Text, "bleach") {
			found++
			require.Contains(t, c.Text, "chlorine gas")
			require.Contains(t, c.Text, "chelant")
			require.Equal(t, tables.Danger, c.Signal)
		}
	}
	require.Equal(t, 1, found)
}
