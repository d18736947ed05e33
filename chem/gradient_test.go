package chem

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What an observation tells of each parameter is how the constant's prediction moves with that, by
// differences: of the enthalpy, 1 J/mol per J/mol and a kelvin's difference to 25 °C per J/(mol K).
func TestGradientByDifferences(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 41))
	for range 200 {
		c := Constant{LogK: 10 * r.NormFloat64(), DeltaH: 2e4 * r.NormFloat64(), DeltaCp: 200 * r.NormFloat64(), DeltaEps: r.NormFloat64(), DeltaZ2: float64(r.IntN(20) - 10)}
		for _, quantity := range []Quantity{"", Enthalpy} {
			o := Observation{Quantity: quantity, TemperatureC: 80 * r.Float64(), IonicStrengthMolPerLitre: 0.01 + 3*r.Float64()}
			got := o.gradient()
			require.Zero(t, got[4])
			for p, step := range []float64{1e-3, 1, 0.1, 1e-3} {
				moved := func(by float64) float64 {
					x := c
					*[]*float64{&x.LogK, &x.DeltaH, &x.DeltaCp, &x.DeltaEps}[p] += by
					return x.Residual(o)
				}
				slope := (moved(-step) - moved(step)) / (2 * step)
				assert.InDelta(t, slope, got[p], 1e-6*(1+math.Abs(slope)), "%q: parameter %d", quantity, p)
			}
		}
	}
}
