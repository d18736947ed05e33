package recipe_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/recipe"
)

// Three level cups are 3 × 236.588 mL (NIST SP 811, B.8), and what they hold spreads as
// the powder packs: loose, as usual, tapped. Weighed, there is no spread.
func TestSpoonedChelantKeepsItsRange(t *testing.T) {
	const litres = 3 * 0.2365882365
	r := demo.Recipe(t)
	weighed, err := r.Plan(demo.Tables(t))
	require.NoError(t, err)
	require.Zero(t, weighed.Chelant.MassLowGrams)
	require.Zero(t, weighed.Chelant.MassHighGrams)
	r.Amount, err = measure.ParseAmount("3 cups")
	require.NoError(t, err)
	spooned, err := r.Plan(demo.Tables(t))
	require.NoError(t, err)
	bulk := r.Chelant.Bulk
	require.Less(t, bulk.Loose, bulk.Typical)
	require.InEpsilon(t, litres*bulk.Loose, spooned.Chelant.MassLowGrams, 1e-6)
	require.InEpsilon(t, litres*bulk.Typical, spooned.Chelant.MassGrams, 1e-6)
	require.InEpsilon(t, litres*bulk.Tapped, spooned.Chelant.MassHighGrams, 1e-6)
	width := func(p *recipe.Plan) float64 { return p.Acid.MassHighGrams / p.Acid.MassLowGrams }
	require.Greater(t, width(spooned), width(weighed), "and so does the acid that they ask for")
}

// What a kilogram of rust costs is what the bath costs over what it takes, and a litre
// over the litres: by division.
func TestCostPerRustAndLitre(t *testing.T) {
	r := demo.Recipe(t)
	salt, err := recipe.ParsePrice("6.00/lb")
	require.NoError(t, err)
	acid, err := recipe.ParsePrice("4.00/lb")
	require.NoError(t, err)
	r.Prices = map[string]recipe.Price{r.Chelant.ID: salt, r.Acid.ID: acid}
	plan, err := r.Plan(demo.Tables(t))
	require.NoError(t, err)
	const pound = 453.59237 // g, NIST SP 811, B.8
	c := plan.Cost
	require.InEpsilon(t, 6*500/pound, c.Chelant, 1e-9)
	require.InEpsilon(t, 4*plan.Acid.MassGrams/pound, c.Acid, 1e-9)
	require.InEpsilon(t, c.Chelant+c.Acid, c.Total, 1e-9)
	require.InEpsilon(t, c.Total/plan.BathLitres, c.PerLitre, 1e-9)
	ways, err := r.Try(demo.Tables(t), demo.Oxide(t, "lepidocrocite"))
	require.NoError(t, err)
	require.InEpsilon(t, 1000*ways[0].Cost.Total/ways[0].KeptRustGrams, ways[0].Cost.PerKgRust, 1e-6)
	spoonful, err := r.Scale(0.1 * measure.Litre) // takes half a gram
	require.NoError(t, err)
	small, err := spoonful.Plan(demo.Tables(t))
	require.NoError(t, err)
	require.InEpsilon(t, c.PerKgRust, small.Cost.PerKgRust, 1e-6)
}
