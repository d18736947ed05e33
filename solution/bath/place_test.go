package bath_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/tables"
)

// The words are read in any case, and nothing else passes.
func TestWordsForTheTub(t *testing.T) {
	cover, err := bath.ParseCover(" Board  on Top")
	require.NoError(t, err)
	light, err := bath.ParseLight("SUN")
	require.NoError(t, err)
	p := bath.Place{Cover: cover, Light: light, SurfaceCm2: 900}
	assert.Equal(t, bath.Place{Cover: bath.Boarded, Light: bath.Sunlit, SurfaceCm2: 900}, p)
	text, err := json.Marshal(p)
	require.NoError(t, err)
	assert.JSONEq(t, `{"cover": "board on top", "light": "sun", "surface_cm2": 900}`, string(text))
	var bad *chem.InputError
	_, err = bath.ParseCover("ajar")
	require.ErrorAs(t, err, &bad)
	assert.Equal(t, "lidded, board on top, still, stirred or bubbled", bad.Want)
	b := demo.Mix(t, demo.Recipe(t))
	for _, wrong := range []bath.Place{{Cover: "ajar"}, {Light: "moon"}, {SurfaceCm2: -1}, {GasCmPerHour: tables.Range{Typical: 1}}, {GasCmPerHour: tables.Range{Typical: 1, High: 2}}, {GasCmPerHour: tables.Range{Low: 2, Typical: 1, High: 3}}} {
		require.ErrorAs(t, b.Stand(wrong), &bad)
	}
	assert.Zero(t, b.Place(), "a failed call changes nothing")
}

// From the shop's side: the tub of 20 L has 1000 cm² unless told, is 20 cm deep, and at
// 1 cm/h loses two thirds of its gas in 20 hours, in 2 to 4 if stirred. Schmidt numbers
// at 20 °C are 600 for carbon dioxide, so that its velocity there is k600 itself.
func TestExchange(t *testing.T) {
	b := demo.Mix(t, demo.Recipe(t))
	shut, err := b.Exchange()
	require.NoError(t, err)
	assert.Zero(t, shut.GasCmPerHour)
	assert.Equal(t, 1e-6, shut.SteelMetresPerS.Typical)
	require.NoError(t, b.Stand(bath.Place{Cover: bath.Still}))
	still, err := b.Exchange()
	require.NoError(t, err)
	assert.InEpsilon(t, 1000, still.SurfaceCm2, 0.02)
	assert.InEpsilon(t, 20, still.DepthCm, 0.02)
	assert.InEpsilon(t, 20, still.DepthCm/still.GasCmPerHour.Typical, 0.02)
	require.NoError(t, b.Stand(bath.Place{Cover: bath.Stirred, SurfaceCm2: 2000}))
	stirred, err := b.Exchange()
	require.NoError(t, err)
	assert.InEpsilon(t, 2, stirred.DepthCm/stirred.GasCmPerHour.Typical, 0.02)
	assert.Greater(t, stirred.SteelMetresPerS.Low, still.SteelMetresPerS.High)
	require.NoError(t, b.Stand(bath.Place{Cover: bath.Still, GasCmPerHour: tables.Range{Low: 0.6, Typical: 0.7, High: 0.8}}))
	own, err := b.Clone().Exchange()
	require.NoError(t, err)
	assert.Equal(t, 0.7, own.GasCmPerHour.Typical)
}
