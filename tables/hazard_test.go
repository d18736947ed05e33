package tables

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Codes of hazard statements by the numbering of the GHS: H2xx physical, H3xx
// health, H4xx environment. Acids, lye and bleach: cautions usual in the trade.
func TestHazards(t *testing.T) {
	tables := referenceTables(t)
	for h := range All[Hazard](tables) {
		if strings.HasPrefix(h.ID, "H") {
			assert.Regexp(t, `^H[234]\d\d[A-Z]*$`, h.ID)
			assert.Contains(t, h.Standard, "GHS")
		}
	}
	for name, want := range map[string][]string{
		"muriatic acid":    {"H290", "H314", "H335", "acid-into-water"},
		"lye":              {"H290", "H314", "lye-into-water", "caustic-on-aluminium"},
		"tetrasodium EDTA": {"H302", "H318", "H332", "H373"},
		"citric acid":      {"H319", "H335"},
		"baking soda":      nil,
	} {
		r, err := tables.Reagent(name)
		require.NoError(t, err)
		assert.Equal(t, want, r.Hazards, name)
	}
	h, err := Find[Hazard](tables, "h314")
	require.NoError(t, err)
	assert.Equal(t, Danger, h.Signal)
	_, err = Find[Hazard](tables, "H31")
	assert.ErrorIs(t, err, ErrNotFound)
}

func TestMixing(t *testing.T) {
	tables := referenceTables(t)
	meets := func(groups ...string) (keys []string) {
		for h := range All[Hazard](tables) {
			if h.Meets(groups...) {
				keys = append(keys, h.ID)
			}
		}
		return keys
	}
	assert.Equal(t, []string{"acid-with-bleach"}, meets("acid", "hypochlorite"))
	assert.Equal(t, []string{"acid-with-carbonate", "acid-with-base"}, meets("acid", "lye", "carbonate"))
	assert.Equal(t, []string{"ammonia-with-bleach"}, meets("ammonia", "hypochlorite"))
	assert.Equal(t, []string{"chelant-on-zinc"}, meets("chelant", "zinc"))
	assert.Empty(t, meets("acid"))
	assert.Empty(t, meets())
	// A bath of chelant and acid must be kept from bleach before any is near.
	assert.Equal(t, []string{"acid-with-bleach", "chelant-with-bleach"}, meets("chelant", "acid", "hypochlorite"))
	for m := range All[Material](tables) {
		for _, g := range m.Groups {
			assert.True(t, slices.ContainsFunc(slices.Collect(All[Hazard](tables)), func(h Hazard) bool { return slices.Contains(h.Mix, g) }), g)
			for r := range All[Reagent](tables) {
				assert.NotContains(t, r.Groups, g, r.ID)
			}
		}
	}
}

func TestBadHazards(t *testing.T) {
	for _, c := range []struct{ name, file, old, new, want string }{
		{"unknown group", "hazards.csv", "acid;hypochlorite", "acid;bleach", "column mix"},
		{"one group", "hazards.csv", "acid;hypochlorite", "acid", "column mix"},
		{"nobody has it", "hazards.csv", "\nH412,", "\nH413,", "column key"},
		{"reagent with an unknown hazard", "reagents.csv", "H290;H302;H318;H332;H373", "H290;H302;H999", `is "H999"`},
		{"reagent in an idle group", "reagents.csv", ",chelant;acid-salt;free-acid,H319", ",chelant;powder,H319", `is "powder"`},
		{"material in an idle group", "materials.csv", "pot metal,zinc,zinc,", "pot metal,wool,zinc,", `is "wool"`},
		{"reagent with a hazard of mixing", "reagents.csv", ",chelant;acid-salt;free-acid,H319", ",chelant,acid-on-zinc", `is "acid-on-zinc"`},
	} {
		good := content(t, c.file)
		bad := strings.Replace(good, c.old, c.new, 1)
		require.NotEqual(t, good, bad, c.name)
		_, err := loadReferenceFrom(changed(t, c.file, bad))
		require.ErrorIs(t, err, ErrData, c.name)
		assert.ErrorContains(t, err, c.want, c.name)
	}
}

func ExampleHazard_Meets() {
	tables, err := Standard()
	if err != nil {
		fmt.Println(err)
		return
	}
	for h := range All[Hazard](tables) {
		if h.Meets("acid", "hypochlorite") {
			fmt.Printf("%s: %s\n", h.Signal, h.Caution)
		}
	}
	// Output: danger: Acid and chlorine bleach give off chlorine gas: never in one vessel or drain.
}
