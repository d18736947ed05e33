package rust_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

// Areal masses by geometry (arithmetic): 10 µm of FeO(OH) at 4.1 g/cm³ and 30 %
// porosity are 28.7 g/m², 18.0 of it iron; 50 µm are 143.5; 100 µm of dense
// magnetite at 5.2 g/cm³ are 520.0 g/m² with 376.3 of iron.
func TestLayersByGeometry(t *testing.T) {
	std := demo.Tables(t)
	layer := func(phase string, density, porosity, um float64) rust.Layer {
		p, err := tables.Find[tables.RustPhase](std, phase)
		require.NoError(t, err)
		p.DensityKgPerM3 = density
		one := tables.Range{Low: 1, Typical: 1, High: 1}
		r := tables.Rust{Entry: tables.Entry{Name: phase}, Constituents: []tables.Constituent{{Phase: p, Share: one}}, Porosity: one.Times(porosity)}
		l, err := rust.LayerOfThickness(r, unit.Length(um*1e-6))
		require.NoError(t, err)
		return l
	}
	for _, tc := range []struct {
		layer        rust.Layer
		rust, ironed float64
	}{
		{layer("goethite", 4100, 0.3, 10), 28.7, 18.0},
		{layer("goethite", 4100, 0.3, 50), 143.5, 90.2},
		{layer("magnetite", 5200, 0, 100), 520.0, 376.3},
	} {
		require.InDelta(t, tc.rust, tc.layer.RustGramsPerM2.Typical, 0.2)
		require.InDelta(t, tc.ironed, tc.layer.IronGramsPerM2.Typical, 0.2)
	}
}

// ISO 9223:2012, carbon steel, first year: at most 200 g/m² in C2 and 650 in C4
// (mass from memory); as FeO(OH) 320 and 1030 g/m²; 8.10 g of tetrasodium EDTA
// tetrahydrate for each gram of iron make 1620 and 5260 g/m² (arithmetic). So a
// square metre that spent a year in a damp shed can hold more iron than the
// library's tub can bind.
func TestRustOfAYear(t *testing.T) {
	std := demo.Tables(t)
	goethite, err := tables.Find[tables.RustPhase](std, "goethite")
	require.NoError(t, err)
	one := tables.Range{Low: 1, Typical: 1, High: 1}
	pureRust := tables.Rust{Entry: tables.Entry{Name: "goethite"}, Constituents: []tables.Constituent{{Phase: goethite, Share: one}}}
	salt := demo.Reagent(t, "tetrasodium EDTA tetrahydrate")
	salt.Assay = one
	for class, want := range map[string][3]float64{"C2": {200, 320, 1620}, "C4": {650, 1030, 5260}} {
		c, err := std.Corrosivity(class)
		require.NoError(t, err)
		l, err := rust.LayerOfYears(c, pureRust, 1)
		require.NoError(t, err)
		require.InDelta(t, want[0], l.IronGramsPerM2.High, 1e-9)
		require.InDelta(t, want[1], l.RustGramsPerM2.High, 5)
		require.InDelta(t, want[2], l.IronGramsPerM2.High/55.845/salt.MolPerGram().Typical, 10)
	}
	c2, err := std.Corrosivity("C2")
	require.NoError(t, err)
	shed, err := rust.LayerOfYears(c2, pureRust, 1)
	require.NoError(t, err)
	tub, err := demo.Mix(t, demo.Recipe(t)).Capacities(demo.Oxide(t, "goethite"), 7)
	require.NoError(t, err)
	require.Greater(t, shed.IronGramsPerM2.High, tub.Chelant.IronGrams)
	// Years count less and less: ISO 9224:2012.
	decade, err := rust.LayerOfYears(c2, pureRust, 10)
	require.NoError(t, err)
	require.InDelta(t, math.Pow(10, 0.523), decade.IronGramsPerM2.High/shed.IronGramsPerM2.High, 1e-9)

	load, err := shed.Load(0.5, tables.Loose, salt, 0.054)
	require.NoError(t, err)
	require.InDelta(t, load.IronGrams.Typical, load.BrushedIronGrams+load.LeftIronGrams, 1e-9)
	require.InDelta(t, 8.10*load.BrushedIronGrams, load.ChelantSavedGrams, 0.01*load.ChelantSavedGrams)
	require.Less(t, load.BathLitres, load.UnbrushedBathLitres)
	_, err = shed.Load(0, tables.Loose, salt, 0.05)
	require.ErrorIs(t, err, chem.ErrInput)
	_, err = shed.Load(1, "fluffy", salt, 0.05)
	require.ErrorIs(t, err, chem.ErrInput)
}
