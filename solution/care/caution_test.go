package care_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/solution/care"
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
	parts := keys(func(r *recipe.Recipe) { r.Materials = []string{"galvanised", "paint", "lead", "spring"} })
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

// Nothing that is printed for a material at any pH says the contrary of its
// admission: what stays out is not told how long it may stay in, and the strictest
// comes first.
func TestNoContradiction(t *testing.T) {
	std := demo.Tables(t)
	tolerant := []string{"as long as", "minutes at most", "look every", "take it out"}
	for m := range tables.All[tables.Material](std) {
		for pH := 3.0; pH <= 12; pH += 0.5 {
			work := care.Work{Materials: []string{"steel", m.ID}, PH: pH, TemperatureC: 20}
			parts, err := work.Parts(std)
			require.NoError(t, err)
			practice, err := work.Practice(std)
			require.NoError(t, err)
			told := 0
			for _, p := range parts {
				if p.Admission == tables.StaysOut && p.Material == m.Name {
					require.Equal(t, tables.StaysOut, parts[0].Admission)
					told++
				}
			}
			for _, a := range practice {
				if strings.HasSuffix(a.Do, ": "+m.Name+".") {
					told--
				}
			}
			require.Zero(t, told, "%s at pH %g", m.Name, pH)
			require.Equal(t, m.Admits(pH), find(parts, m.Name).Admission)
		}
		if m.Admission != tables.StaysOut {
			continue
		}
		for _, words := range tolerant[:2] {
			require.NotContains(t, m.Does+m.Do, words, m.ID)
		}
		all, err := care.Cautions(std, []tables.Reagent{demo.Reagent(t, "citric acid"), demo.Reagent(t, "tetrasodium EDTA")}, []string{m.ID})
		require.NoError(t, err)
		for _, c := range all {
			for _, words := range tolerant {
				require.NotContains(t, c.Text, words, m.ID)
			}
		}
	}
}

func find(parts []care.Part, material string) care.Part {
	return parts[slices.IndexFunc(parts, func(p care.Part) bool { return p.Material == material })]
}

// Lead and cadmium are told of where they were asked about or nothing is known.
func TestPoisonsWhenAskedAbout(t *testing.T) {
	std := demo.Tables(t)
	for name, want := range map[string]bool{"chrome": false, "steel": false, "spring": false, "unknown metal": true, "solder": true, "cadmium plated": true, "red lead": true} {
		all, err := care.Cautions(std, []tables.Reagent{demo.Reagent(t, "tetrasodium EDTA")}, []string{name})
		require.NoError(t, err)
		found := slices.ContainsFunc(all, func(c care.Caution) bool {
			return c.Key == "chelant-on-lead" || c.Key == "chelant-on-cadmium"
		})
		require.Equal(t, want, found, name)
	}
}

// Names that people use, from the list that restorers asked with.
func TestEverydayNames(t *testing.T) {
	for name, want := range map[string]string{
		"chrome": "chrome", "chromed": "chrome", "nickel": "nickel", "galvanised": "zinc", "galvanized": "zinc", "zinc": "zinc", "tin": "tin",
		"stainless": "stainless", "cast iron": "cast-iron", "spring": "spring", "file": "file", "blade": "blade", "brass": "copper", "bronze": "copper",
		"aluminium": "aluminium", "Aluminum": "aluminium", "magnesium": "magnesium", "cadmium": "cadmium", "lead paint": "lead-paint", "paint": "paint",
		"powder coat": "powder-coat", "rubber": "rubber", "wood": "wood", "hardened-steel": "hardened-steel", "crevices": "crevices",
	} {
		m, err := demo.Tables(t).Material(name)
		require.NoError(t, err)
		require.Equal(t, want, m.ID)
	}
}
