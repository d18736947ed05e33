package chem

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"
)

func reaction(t testing.TB, text string) Reaction {
	r, err := shop.ParseReaction(text)
	require.NoError(t, err)
	return r
}

// synthetic makes observations of a known constant.
func synthetic(c Constant, ts, is []float64) []Observation {
	var out []Observation
	for _, x := range ts {
		for _, i := range is {
			out = append(out, Observation{Value: c.Log10K(Celsius(x), i), Uncertainty: 0.01,
				TemperatureC: x, IonicStrengthMolPerLitre: i, Used: true})
		}
	}
	return out
}

func TestFitRecoversWhatTheDataDetermine(t *testing.T) {
	r := reaction(t, "Hcit2- + H+ = H2cit-")
	truth := Constant{LogK: 4.76, DeltaH: -2100, DeltaCp: 180, DeltaEps: 0.12, DeltaZ2: -4}
	f, err := Fit(r, synthetic(truth, []float64{5, 25, 45}, []float64{0, 0.1, 0.5}), Prior{EpsPerZ2: 0.05})
	require.NoError(t, err)
	assert.Equal(t, [4]bool{true, true, true, true}, f.Determined)
	got := [4]float64{f.LogK, f.DeltaH, f.DeltaCp, f.DeltaEps}
	for p, want := range [4]float64{truth.LogK, truth.DeltaH, truth.DeltaCp, truth.DeltaEps} {
		assert.InDelta(t, want, got[p], 0.5*math.Sqrt(f.Covariance[p][p]), "parameter %d: the data outweigh what is expected", p)
	}
	for _, o := range f.Observations {
		assert.InDelta(t, 0, o.Residual, 0.3*o.Uncertainty)
	}
	// Where what is expected is the truth nothing pulls.
	f, err = Fit(r, synthetic(Constant{LogK: 4.76, DeltaH: -2100, DeltaEps: -0.2, DeltaZ2: -4}, []float64{5, 25}, []float64{0, 0.5}), Prior{DeltaH: -2100, EpsPerZ2: 0.05})
	require.NoError(t, err)
	assert.InDelta(t, 4.76, f.LogK, 1e-9)
	assert.InDelta(t, -2100, f.DeltaH, 1e-4)
	assert.InDelta(t, -0.2, f.DeltaEps, 1e-9)
}

func TestFitDefaults(t *testing.T) {
	r := reaction(t, "Fe2+ + edta4- = Fe(edta)^2-")
	f, err := Fit(r, []Observation{{Value: 14.3, Uncertainty: 0.1, TemperatureC: 25, IonicStrengthMolPerLitre: 0.1, Used: true}}, Prior{DeltaH: -18e3, DeltaHSpread: 2e4, EpsPerZ2: 0.08})
	require.NoError(t, err)
	assert.Equal(t, [4]bool{true, false, false, false}, f.Determined)
	assert.InDelta(t, 14.3, f.Log10K(Celsius(25), 0.1), 1e-12, "the one value is met")
	assert.InDelta(t, 0.08*-16, f.DeltaEps, 1e-12)
	assert.InDelta(t, -18e3, f.DeltaH, 1e-6)
	assert.InDelta(t, 4e8, f.Covariance[1][1], 1)
	// One value, the spread of Δε, and what one constant cannot promise: √(0.1² + (0.1·0.9)² + 0.05² + 0.24²).
	assert.InDelta(t, 0.27964, f.Sigma(Celsius(25), 0), 1e-4)
	assert.InDelta(t, 0.26476, f.Sigma(Celsius(25), 0.1), 1e-4)
	assert.Greater(t, f.Sigma(Celsius(40), 0.5), f.Sigma(Celsius(25), 0.1), "uncertainty grows away from the data")
	assert.True(t, f.Span.Contains(Celsius(25), 0.05))
	assert.False(t, f.Span.Contains(Celsius(25), 0.2))
	assert.False(t, f.Span.Contains(Celsius(45), 0.1))
	_, ok := f.LeaveOut(0)
	assert.False(t, ok, "nothing is left without it")
}

func TestFitErrors(t *testing.T) {
	r := reaction(t, "Fe3+ + edta4- = Fe(edta)-")
	_, err := Fit(r, nil, Prior{})
	assert.ErrorIs(t, err, ErrInput)
	_, err = Fit(r, []Observation{{Quantity: Enthalpy, Value: -1e4, TemperatureC: 25, Used: true}}, Prior{})
	assert.ErrorIs(t, err, ErrInput, "an enthalpy alone is no constant")
	_, err = Fit(reaction(t, "Fe3+ + edta4- = Fe(edta)^2-"), nil, Prior{})
	assert.ErrorIs(t, err, ErrInput)
}

// The enthalpy is the van 't Hoff slope R T² dlnK/dT, at any ionic strength.
func TestEnthalpyIsTheSlope(t *testing.T) {
	c := Constant{LogK: 10, DeltaH: -20000, DeltaCp: 75, DeltaEps: -0.9, DeltaZ2: -8}
	for _, i := range []float64{0, 0.1, 1} {
		for _, x := range []float64{5, 25, 60} {
			k, h := Celsius(x), unit.Temperature(0.01)
			slope := (c.Log10K(k+h, i) - c.Log10K(k-h, i)) / 0.02 * math.Ln10
			assert.InDelta(t, GasConstant*float64(k*k)*slope, c.Enthalpy(k, i), 1, "I = %g, %g °C", i, x)
		}
	}
}

func TestPlus(t *testing.T) {
	a := Constant{LogK: 2, DeltaH: 1000, DeltaZ2: -4, Covariance: [4][4]float64{{0.01}}, Span: Span{0, 50, 1}}
	b := Constant{LogK: 3, DeltaEps: 0.5, DeltaZ2: 2, Covariance: [4][4]float64{{0.04}}, Span: Span{20, 30, 3}}
	for _, n := range []float64{1, -2, 0.5} {
		sum := a.Plus(n, b)
		for _, i := range []float64{0, 0.3} {
			assert.InDelta(t, a.Log10K(Celsius(35), i)+n*b.Log10K(Celsius(35), i), sum.Log10K(Celsius(35), i), 1e-12)
		}
		assert.InDelta(t, math.Hypot(math.Hypot(0.1, n*0.2), 0.015*(-4+2*n)), sum.Sigma(Celsius(25), 0), 1e-12)
		assert.Equal(t, Span{20, 30, 1}, sum.Span)
	}
	b.Span = Span{60, 90, 3}
	assert.Equal(t, "no one temperature", a.Plus(1, b).Span.String(), "the steps were measured apart")
	assert.Equal(t, Constant{}, Constant{}.Plus(1, Constant{}))
}

// The second dissociation of phosphoric acid: a constant from three
// temperatures, as NIST SRD 46 prints it (rows 174232 to 174234).
func ExampleFit() {
	r, _ := ParseReaction("HPO4^2- + H+ = H2PO4-")
	at := func(celsius, logK float64) Observation {
		return Observation{Value: logK, Uncertainty: 0.002, TemperatureC: celsius, Used: true}
	}
	f, _ := Fit(r, []Observation{at(10, 7.254), at(25, 7.198), at(40, 7.179)}, Prior{EpsPerZ2: 0.05})
	fmt.Printf("log K at 37 °C: %.2f at zero ionic strength, %.2f at 0.15 mol/L\n",
		f.Log10K(Celsius(37), 0), f.Log10K(Celsius(37), 0.15))
	// Output:
	// log K at 37 °C: 7.18 at zero ionic strength, 6.70 at 0.15 mol/L
}

// A residual is what was published, with its shift, less what the constant says:
// log10 K or enthalpy.
func TestResidual(t *testing.T) {
	c := Constant{LogK: 5, DeltaH: 2000}
	at := Observation{TemperatureC: 25, Value: 5.4, Shift: -0.3}
	assert.InDelta(t, 0.1, c.Residual(at), 1e-12)
	at.Quantity, at.Value, at.Shift = Enthalpy, 2700, -500
	assert.InDelta(t, 200, c.Residual(at), 1e-9)
}
