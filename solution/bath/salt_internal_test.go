package bath

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/tables"
)

// Salt drives oxygen out: sea water of 35 g/kg, 0.72 mol/L in ionic strength, holds 7.38
// mg/L at 20 °C where fresh water holds 9.09, and 9.02 against 11.29 at 10 °C (Weiss, Deep-Sea
// Res. 17 (1970) 721, from memory). It is a share, whatever the temperature.
func TestSaltDrivesOxygenOut(t *testing.T) {
	std, err := tables.Standard()
	require.NoError(t, err)
	for celsius, mg := range map[float64][2]float64{10: {11.29, 9.02}, 20: {9.09, 7.38}} {
		v, err := solution.New(std, chem.Celsius(celsius))
		require.NoError(t, err)
		require.NoError(t, v.AddPureWater(20e-3))
		b, err := New(std, v)
		require.NoError(t, err)
		w := way{bath: b}
		fresh, err := w.rates(0)
		require.NoError(t, err)
		sea, err := w.rates(0.72)
		require.NoError(t, err)
		assert.InEpsilon(t, mg[1]/mg[0], sea.saturated/fresh.saturated, 0.015, "%g °C", celsius)
	}
}

// Warmth quickens the oxidation of iron(II) in the bulk by its activation energy: from 25 to 35 °C
// exp(27.2 kJ/mol/R (1/298.15 − 1/308.15)) = 1.428 times, and slows it as much in the cold.
func TestWarmthOxidisesIron(t *testing.T) {
	std, err := tables.Standard()
	require.NoError(t, err)
	k21 := map[float64]float64{}
	for _, celsius := range []float64{15, 25, 35} {
		v, err := solution.New(std, chem.Celsius(celsius))
		require.NoError(t, err)
		require.NoError(t, v.AddPureWater(20e-3))
		b, err := New(std, v)
		require.NoError(t, err)
		k, err := (&way{bath: b}).rates(0)
		require.NoError(t, err)
		k21[celsius] = k.k21
	}
	assert.InEpsilon(t, 0.065, k21[25], 1e-9, "m⁶/(mol² s)")
	assert.InEpsilon(t, 1.4277, k21[35]/k21[25], 1e-3)
	assert.InEpsilon(t, 0.6833, k21[15]/k21[25], 1e-3)
}
