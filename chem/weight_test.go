package chem_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
)

// What an observation weighs, as the constants of the package say it: what its source
// gives, but no less than what two laboratories agree on.
func TestWeightOfAnObservation(t *testing.T) {
	for _, c := range []struct {
		quantity chem.Quantity
		given    float64
		sigma    float64
	}{
		{chem.Log10K, 0, 0.1}, {"", 0, 0.1}, {chem.Log10K, 0.001, 0.01}, {chem.Log10K, 0.05, 0.05},
		{chem.Enthalpy, 0, 3000}, {chem.Enthalpy, 10, 500}, {chem.Enthalpy, 2000, 2000},
	} {
		assert.Equal(t, c.sigma, chem.Observation{Quantity: c.quantity, Uncertainty: c.given}.Sigma(), "%+v", c)
	}
}

// The fit of values that lie apart, by hand. At 25 °C and I = 0 nothing but log10 K°
// is asked for: it is the mean x̄, and its variance is that of a mean, σ²/n, widened by
// Birge's ratio Σ(x − x̄)²/σ²/(n − 1) where that is above 1 (Phys. Rev. 40, 1932, 207),
// with 0.05² for what laboratories differ by.
func TestFitOfValuesApart(t *testing.T) {
	r, err := chem.ParseReaction("NH3 + H+ = NH4+")
	require.NoError(t, err)
	for _, c := range []struct {
		values         []float64
		mean, variance float64
	}{
		{[]float64{9, 9.6}, 9.3, 18 * 0.01 / 2},                  // Birge 2·0.09/0.01/1
		{[]float64{9, 9.3, 9.6}, 9.3, 9 * 0.01 / 3},              // 2·0.09/0.01/2
		{[]float64{9.2, 9.3, 9.4, 9.3}, 9.3, 0.01 / 4},           // 0.67, which is not above 1
		{[]float64{9.1, 9.1, 9.5, 9.5}, 9.3, 16. / 3 * 0.01 / 4}, // 4·0.04/0.01/3
	} {
		var o []chem.Observation
		for _, v := range c.values {
			o = append(o, chem.Observation{Quantity: chem.Log10K, Value: v, Uncertainty: 0.1, TemperatureC: 25, Used: true})
		}
		f, err := chem.Fit(r, o, chem.Prior{})
		require.NoError(t, err)
		assert.InDelta(t, c.mean, f.LogK, 1e-9)
		assert.InDelta(t, c.variance+0.05*0.05, f.Covariance[0][0], 1e-9, "%v", c.values)
	}
	// An enthalpy that is known beforehand to half a joule is not moved by values that
	// ask for 20 kJ/mol: ln 10 R T²/ΔT · 1.2.
	o := []chem.Observation{{Value: 9, TemperatureC: 15, Used: true}, {Value: 9.24, TemperatureC: 35, Used: true}}
	f, err := chem.Fit(r, o, chem.Prior{DeltaH: -5e4, DeltaHSpread: 0.5})
	require.NoError(t, err)
	assert.InDelta(t, -5e4, f.DeltaH, 1)
}

// Counts are equal to one part in 10⁹, here of 100 000.
func TestCountsEqual(t *testing.T) {
	of := func(s string) chem.Formula {
		f, err := chem.ParseFormula(s)
		require.NoError(t, err)
		return f
	}
	assert.True(t, of("Na100000.000099").Equal(of("Na100000")), "0.99 parts")
	assert.False(t, of("Na100000.000105").Equal(of("Na100000")), "1.05 parts")
	assert.False(t, of("Na100000").Equal(of("Na100000.000105")))
}
