package bath_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/chem/measure"
	"example.com/chelation/solution"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
)

// Oxygen on steel itself is left out: low-carbon steel in plain water loses 0.202 mm a year
// (Empirical models of low-carbon steel corrosion, 2020, abstract), 0.18 g/(m² h), where
// iron(III) takes ten times that at first and five times over eight days in a still tub.
func TestOxygenOnSteelIsSmall(t *testing.T) {
	const inWater = 0.202e-3 * 7874e3 / 8766 // g/(m² h), 7874 kg/m³
	b := used(t, bath.Place{Cover: bath.Still})
	for hours, most := range map[float64]float64{1: 0.15, 192: 0.25} {
		h, err := b.Clone().Pass(bath.Parts{BareSteelCm2: 2000}, unit.Time(hours)*measure.Hour)
		require.NoError(t, err)
		share := inWater / (h.SteelLostGrams.Typical / 0.2 / hours)
		assert.Less(t, share, most, "%g h", hours)
		assert.Greater(t, share, 0.05, "no longer what is said of it")
	}
}

// Carbon dioxide that comes in from the air near pH 7: a bath made with water that holds
// none, left open for three weeks, stays within 0.03.
func TestUptakeNearNeutralIsNothing(t *testing.T) {
	v, err := solution.New(demo.Tables(t), chem.Celsius(20))
	require.NoError(t, err)
	require.NoError(t, v.AddPureWater(20*measure.Litre))
	require.NoError(t, v.Add(demo.Reagent(t, "tetrasodium EDTA"), 500*measure.Gram))
	d, err := v.Dose(demo.Reagent(t, "citric acid"), solution.PH(7))
	require.NoError(t, err)
	require.NoError(t, v.Add(demo.Reagent(t, "citric acid"), d.Mass()))
	b, err := bath.New(demo.Tables(t), v)
	require.NoError(t, err)
	require.NoError(t, b.Stand(bath.Place{Cover: bath.Still}))
	h, err := b.Pass(bath.Parts{}, 21*measure.Day)
	require.NoError(t, err)
	assert.Negative(t, h.CO2OutMoles.Typical)
	assert.InDelta(t, 7, h.PH.Typical, 0.03)
}

// Bicarbonate and hydroxide in the film are left out. How much faster they let carbon dioxide
// through, by hand (T. E. Hoover & D. C. Berkshire, J. Geophys. Res. 74 (1969) 456, from
// memory): E = τ/(τ − 1 + tanh(Qz)/(Qz)), τ = 1 + [H⁺]/K1, Qz = √(r τ D)/k, with hydration
// 0.019 1/s at 20 °C (Soli & Byrne, ln k = 22.66 − 7799/T), 5900 L/(mol s) for hydroxide
// (Johnson 1982, 8400 at 25 °C with 55 kJ/mol), D 1.67e-9 m²/s and pK1 6.1. At rest that is
// twice at pH 7 and four times at pH 9; stirred a tenth, and a half at pH 9. The upper end of
// a still tub is twice its typical velocity.
func TestFilmOfCarbonate(t *testing.T) {
	faster := func(pH, cmPerHour float64) float64 {
		k := cmPerHour / 360000
		tau := 1 + math.Pow(10, 6.1-pH)
		r := math.Exp(22.66-7799/293.15) + 5900*math.Pow(10, pH-14.17)
		qz := math.Sqrt(r*tau*1.67e-9) / k
		return tau / (tau - 1 + math.Tanh(qz)/qz)
	}
	still, err := plainTub(t, bath.Place{Cover: bath.Still}, nil).Exchange()
	require.NoError(t, err)
	stirred, err := plainTub(t, bath.Place{Cover: bath.Stirred}, nil).Exchange()
	require.NoError(t, err)
	at7 := faster(7, still.GasCmPerHour.Typical)
	assert.InDelta(t, 2, at7, 0.1)
	assert.LessOrEqual(t, at7*still.GasCmPerHour.Typical, still.GasCmPerHour.High, "the range holds it")
	assert.InDelta(t, 4, faster(9, still.GasCmPerHour.Typical), 0.8)
	assert.InDelta(t, 1.1, faster(7, stirred.GasCmPerHour.Typical), 0.1)
	assert.InDelta(t, 1.3, faster(9, stirred.GasCmPerHour.Typical), 0.3)
}
