package main

import (
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// What the constants leave open of a dose, against the tables loaded anew with each of them
// off by its standard uncertainty to either side, and the dose found again. The pairs with Na⁺ and K⁺ are
// left out, for a shift of these moves the constants that are corrected for them too, and so is tap water, whose
// carbonate is worked out from its pH.
func TestDoseFollowsEachConstant(t *testing.T) {
	t.Parallel()
	std, err := tables.Standard()
	require.NoError(t, err)
	for _, c := range []struct {
		salt, acid string
		grams, pH  float64
	}{
		{"tetrasodium EDTA tetrahydrate", "citric acid", 500, 7},
		{"trisodium citrate dihydrate", "citric acid", 500, 5},
		{"disodium EDTA dihydrate", "sodium carbonate", 500, 7},
	} {
		dosed := func(tb *tables.Tables) (*solution.Solution, tables.Reagent, float64) {
			v, err := solution.New(tb, chem.Celsius(20))
			require.NoError(t, err)
			salt, err := tb.Reagent(c.salt)
			require.NoError(t, err)
			acid, err := tb.Reagent(c.acid)
			require.NoError(t, err)
			require.NoError(t, v.AddPureWater(20*measure.Litre))
			require.NoError(t, v.Add(salt, unit.Mass(c.grams)*measure.Gram))
			d, err := v.Dose(acid, solution.PH(c.pH))
			require.NoError(t, err)
			require.NoError(t, v.Add(acid, d.Mass()))
			return v, acid, d.MassGrams
		}
		v, acid, _ := dosed(std)
		u, err := v.DoseUncertainty(acid)
		require.NoError(t, err)
		tried, squares, shifts := 0.0, 0.0, 0
		for _, p := range u.Parts {
			if strings.HasPrefix(p.Reaction, "Na+ + ") || strings.HasPrefix(p.Reaction, "K+ + ") || shifts == 8 {
				continue
			}
			all := slices.Collect(std.Equilibria())
			k := slices.IndexFunc(all, func(e tables.Equilibrium) bool { return e.Reaction.String() == p.Reaction })
			require.GreaterOrEqual(t, k, 0, p.Reaction)
			sigma := p.Sigma / math.Abs(p.Slope)
			dose := func(by float64) float64 {
				off, err := shifted(os.DirFS("../../tables/data"), all[k], shift{log10K: by})
				require.NoError(t, err)
				_, _, grams := dosed(off)
				return grams
			}
			moved := (dose(sigma) - dose(-sigma)) / 2
			require.InDelta(t, p.Slope*sigma, moved, 0.05*p.Sigma+0.003*u.Sigma, "%s, %s", c.salt, p.Reaction)
			tried, squares, shifts = tried+p.Sigma*p.Sigma, squares+moved*moved, shifts+1
		}
		require.Greater(t, tried, 0.95*u.Sigma*u.Sigma, "%s: those tried carry nearly all", c.salt)
		require.InEpsilon(t, math.Sqrt(tried), math.Sqrt(squares), 0.02, c.salt)
	}
}
