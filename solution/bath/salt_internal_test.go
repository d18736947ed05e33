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
		w := b.way(Parts{}, nil)
		fresh, err := w.rates(0)
		require.NoError(t, err)
		sea, err := w.rates(0.72)
		require.NoError(t, err)
		assert.InEpsilon(t, mg[1]/mg[0], sea.saturated/fresh.saturated, 0.015, "%g °C", celsius)
	}
}
