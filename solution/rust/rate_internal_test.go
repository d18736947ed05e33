package rust

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/tables"
)

// The pace of a rust is that of its phases, weighed by what there is of each: it does
// not hang on how much dirt is in it, one phase goes at its own pace, and two go at a
// pace between, ln rate for ln rate.
func TestPaceOfMixedRust(t *testing.T) {
	std, err := tables.Standard()
	require.NoError(t, err)
	p, err := NewPace(std)
	require.NoError(t, err)
	fresh, err := std.Rust(referenceRust)
	require.NoError(t, err)
	scaled := func(f func(i int) float64) tables.Rust {
		r := fresh
		r.Constituents = nil
		for i, c := range fresh.Constituents {
			c.Share.Typical *= f(i)
			r.Constituents = append(r.Constituents, c)
		}
		return r
	}
	whole, err := p.meanRate(fresh)
	require.NoError(t, err)
	dirty, err := p.meanRate(scaled(func(int) float64 { return 0.3 }))
	require.NoError(t, err)
	assert.InDelta(t, whole, dirty, 1e-12)
	sum, mass := 0.0, 0.0
	for i, c := range fresh.Constituents {
		alone, err := p.meanRate(scaled(func(k int) float64 {
			if k == i {
				return 1
			}
			return 0
		}))
		if err != nil {
			continue // no rate is known of it
		}
		x, err := tables.Find[tables.PhaseRate](std, c.Phase.ID)
		require.NoError(t, err)
		// Arrhenius at 20 °C, in the units of the table: g of iron per m² and hour, kJ/mol
		assert.InDelta(t, math.Log(x.FrequencyGramsPerM2Hour)-x.ActivationEnergyKJPerMol/(8.314462618e-3*293.15), alone, 1e-9, c.Phase.ID)
		sum, mass = sum+c.Share.Typical*alone, mass+c.Share.Typical
	}
	assert.InDelta(t, sum/mass, whole, 1e-12)
}

// Rates lie a fifth of a standard deviation apart, to four on either side.
func TestRatesSpan(t *testing.T) {
	std, err := tables.Standard()
	require.NoError(t, err)
	p, err := NewPace(std)
	require.NoError(t, err)
	sigma := math.Log(p.light.High/p.light.Low) / (2 * 1.6448536)
	assert.InDelta(t, 0.2*sigma, math.Log(p.rates[1]/p.rates[0]), 1e-6)
	assert.InDelta(t, 4*sigma, math.Log(p.rates[len(p.rates)-1]), 1e-6)
	assert.InDelta(t, -4*sigma, math.Log(p.rates[0]), 1e-6)
}
