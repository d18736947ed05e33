package rust_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

// Half a square metre carries half of what a square metre does, four carry four times
// as much. 30 g of iron in 50 g of rust on each: 15 and 25 g, 120 and 200 g.
func TestLoadGrowsWithArea(t *testing.T) {
	layer := rust.Layer{IronGramsPerM2: tables.Range{Low: 20, Typical: 30, High: 40}, RustGramsPerM2: tables.Range{Low: 30, Typical: 50, High: 70}}
	for area, want := range map[float64][2]float64{0.5: {15, 25}, 4: {120, 200}} {
		load, err := layer.Load(unit.Area(area), tables.Loose, demo.Reagent(t, "tetrasodium EDTA tetrahydrate"), 0.05)
		require.NoError(t, err)
		require.InDelta(t, want[0], load.IronGrams.Typical, 1e-9)
		require.InDelta(t, want[1], load.RustGrams.Typical, 1e-9)
		require.InDelta(t, area*70, load.RustGrams.High, 1e-9)
		require.InDelta(t, want[0], load.BrushedIronGrams+load.LeftIronGrams, 1e-9)
		require.InDelta(t, 1e4*area, load.AreaCM2, 1e-9)
	}
}
