package rust_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/internal/laws"
	"example.com/chelation/solution/rust"
	"example.com/chelation/tables"
)

// What is asked and answered survives JSON.
func TestAnswersSurviveJSON(t *testing.T) {
	b, d := demo.Mix(t, demo.Recipe(t)), light(t, 30)
	x, err := pace(t).Time(b, d)
	require.NoError(t, err)
	levers, err := pace(t).Levers(b, d)
	require.NoError(t, err)
	load, err := d.Layer.Load(d.Area, tables.Loose, demo.Reagent(t, "tetrasodium EDTA tetrahydrate"), 0.05)
	require.NoError(t, err)
	for _, answer := range []any{x, levers, load, d.Layer, d} {
		require.Equal(t, answer, laws.ThroughJSON(t, answer))
	}
}

// Zero values give errors: a pace that nobody made, no bath, a dip of nothing.
func TestZeroValues(t *testing.T) {
	made, good := pace(t), light(t, 30)
	tub := demo.Mix(t, demo.Recipe(t))
	for _, x := range []struct {
		pace *rust.Pace
		bath *bath.Bath
		dip  rust.Dip
	}{{&rust.Pace{}, tub, good}, {made, nil, good}, {made, &bath.Bath{}, good}, {made, tub, rust.Dip{}}} {
		_, err := x.pace.Time(x.bath, x.dip)
		require.ErrorIs(t, err, chem.ErrInput)
		_, err = x.pace.Levers(x.bath, x.dip)
		require.ErrorIs(t, err, chem.ErrInput)
		_, err = x.pace.Brushing(x.bath, x.dip)
		require.ErrorIs(t, err, chem.ErrInput)
		_, err = x.pace.Seen(x.bath, x.dip, measure.Hour, 1)
		require.ErrorIs(t, err, chem.ErrInput)
		require.Zero(t, x.pace.Odd())
	}
	_, err := rust.NewPace(&tables.Tables{})
	require.ErrorIs(t, err, tables.ErrNotFound)
	_, _, err = rust.Light(&tables.Tables{})
	require.ErrorIs(t, err, tables.ErrNotFound)
	_, err = rust.Layer{}.Load(0, "", tables.Reagent{}, 0)
	require.ErrorIs(t, err, chem.ErrInput)
	require.True(t, math.IsInf(float64(rust.Layer{}.Area(bath.IronCapacity(1))), 1))
}

func TestRefusedLayers(t *testing.T) {
	fresh, err := demo.Tables(t).Rust("fresh orange rust")
	require.NoError(t, err)
	shed, err := demo.Tables(t).Corrosivity("C2")
	require.NoError(t, err)
	for name, call := range map[string]func() error{
		"thickness": func() error { _, err := rust.LayerOfThickness(fresh, 1); return err },
		"mass":      func() error { _, err := rust.LayerOfMass(fresh, 0, measure.SquareMetre); return err },
		"no area":   func() error { _, err := rust.LayerOfMass(fresh, measure.Gram, 0); return err },
		"years":     func() error { _, err := rust.LayerOfYears(shed, fresh, -1); return err },
		"class":     func() error { _, err := rust.LayerOfYears(tables.Corrosivity{}, fresh, 1); return err },
		"no rust":   func() error { _, err := rust.LayerOfYears(shed, tables.Rust{}, 1); return err },
		"none":      func() error { _, err := rust.LayerOfThickness(tables.Rust{}, measure.Millimetre); return err },
	} {
		require.ErrorIs(t, call(), chem.ErrInput, name)
	}
}
