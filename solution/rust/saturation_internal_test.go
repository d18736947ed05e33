package rust

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/tables"
)

// The drive of dissolving is told by the iron and not by the formula, so that one oxide written with one
// iron or with two has one rate: of hematite, Fe2O3, 1 − √(Q/K) with K of the formula.
func TestDriveIsByTheIron(t *testing.T) {
	std, err := tables.Standard()
	require.NoError(t, err)
	p, err := NewPace(std)
	require.NoError(t, err)
	fresh, err := std.Rust(referenceRust)
	require.NoError(t, err)
	vessel, err := solution.New(std, chem.Celsius(20))
	require.NoError(t, err)
	require.NoError(t, vessel.AddPureWater(20*measure.Litre))
	for species, n := range map[string]unit.Mole{"edta4-": 1.1, "Na+": 2.9, "Cl-": 0.4} {
		require.NoError(t, vessel.AddSpecies(species, n))
	}
	b, err := bath.New(std, vessel)
	require.NoError(t, err)
	o, err := bath.FindOxide(std, "hematite")
	require.NoError(t, err)
	takes, _, err := b.LeftAlone(o)
	require.NoError(t, err)
	layer, err := LayerOfMass(fresh, unit.Mass(0.9999*takes.IronGrams/fresh.IronFraction().Typical)*measure.Gram, measure.SquareMetre)
	require.NoError(t, err)
	c, err := p.follow(b, Dip{Rust: fresh, Layer: layer, Area: 1, Oxide: o}, 1)
	require.NoError(t, err)
	told := 0
	for _, s := range c.stations {
		gone := c.iron * (1 - math.Pow(s.square, 1.5)) // mol of iron from 1 m²
		v := b.Solution.Clone()
		require.NoError(t, v.AddSpecies(o.Species, unit.Mole(gone/2)))
		require.NoError(t, v.Allow(o.Species))
		st, err := v.Equilibrate()
		require.NoError(t, err)
		i := slices.IndexFunc(st.Solids, func(s solution.Solid) bool { return s.Species == o.Species })
		require.InDelta(t, 1-math.Sqrt(math.Pow(10, st.Solids[i].LogSaturation)), s.affinity, 1e-6)
		if s.affinity > 0.05 && s.affinity < 0.95 {
			told++
		}
	}
	require.Positive(t, told, "near equilibrium")
}
