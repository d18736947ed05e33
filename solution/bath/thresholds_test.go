package bath_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem/measure"
	"example.com/chelation/solution/bath"
	"example.com/chelation/solution/internal/demo"
)

// Each cause begins where the thresholds of a diagnosis, judgement all of them, say: a bath
// a hundredth on either side of one is told apart, with nothing else that speaks before it.
func TestWhereCausesBegin(t *testing.T) {
	o, citric := demo.Oxide(t, "lepidocrocite"), demo.Reagent(t, "citric acid")
	with := func(grams float64, moles map[string]float64) *bath.Bath {
		r := demo.Recipe(t)
		r.Amount = measure.AmountOfMass(unit.Mass(grams) * measure.Gram)
		b := demo.Mix(t, r)
		for species, n := range moles {
			require.NoError(t, b.AddSpecies(species, unit.Mole(n)))
		}
		return b
	}
	at := func(b *bath.Bath, pH float64) *bath.Bath {
		b, err := b.At(pH)
		require.NoError(t, err)
		return b
	}
	held := func(b *bath.Bath, of func(bath.Holding) float64) float64 {
		h, err := b.Holdings()
		require.NoError(t, err)
		edta := h.Of("edta4-")
		return of(edta) / edta.TotalMoles
	}
	strength := func(b *bath.Bath) float64 { return amounts(t, b, "edta4-")[0] / b.Litres() }
	for _, x := range []struct {
		cause     bath.Cause
		threshold float64
		above     bool // or below it
		want      float64
		low, high float64 // of what is varied
		make      func(x float64) *bath.Bath
		figure    func(b *bath.Bath) float64
	}{
		{bath.Soured, 5, false, 7, 4.5, 5.5, func(pH float64) *bath.Bath { return at(with(500, nil), pH) }, func(b *bath.Bath) float64 { return state(t, b).PH }},
		{bath.Soured, 4.5, false, 5.5, 4, 5, func(pH float64) *bath.Bath { return at(with(500, nil), pH) }, func(b *bath.Bath) float64 { return state(t, b).PH }},
		{bath.TooStrong, 0.4, true, 7, 3e3, 6e3, func(grams float64) *bath.Bath { return with(grams, nil) }, strength},
		{bath.TooWeak, 0.01, false, 7, 50, 150, func(grams float64) *bath.Bath { return with(grams, nil) }, strength},
		{bath.OutOfRange, 3, true, 7, 30, 90, func(n float64) *bath.Bath { return with(500, map[string]float64{"Na+": n, "Cl-": n}) },
			func(b *bath.Bath) float64 { return state(t, b).IonicStrengthMolPerLitre }},
		{bath.Spent, 0.25, false, 7, 0.6, 0.95, func(n float64) *bath.Bath {
			return at(with(500, map[string]float64{"Fe3+": n, "OH-": 2 * n, "Cl-": n}), 7)
		},
			func(b *bath.Bath) float64 { return held(b, func(h bath.Holding) float64 { return h.FreeMoles }) }},
		{bath.Starved, 0.3, true, 7, 0.2, 0.5, func(n float64) *bath.Bath {
			return at(with(500, map[string]float64{"Fe3+": 0.6, "OH-": 1.2 + n, "Cl-": 0.6 + n, "Zn2+": n}), 7)
		}, func(b *bath.Bath) float64 {
			return held(b, func(h bath.Holding) float64 { return h.HardnessMoles + h.OthersMoles })
		}},
	} {
		to := func(figure float64) *bath.Bath {
			low, high := x.low, x.high
			rises := x.figure(x.make(high)) > x.figure(x.make(low))
			for range 24 {
				if middle := (low + high) / 2; (x.figure(x.make(middle)) < figure) == rises {
					low = middle
				} else {
					high = middle
				}
			}
			b := x.make(low)
			require.InEpsilon(t, figure, x.figure(b), 1e-3, "%s", x.cause)
			return b
		}
		for _, side := range []float64{0.99, 1.01} {
			d, err := to(side*x.threshold).Diagnose(o, x.want, citric)
			require.NoError(t, err)
			assert.Equal(t, (side > 1) == x.above, d.Cause == x.cause, "%g: %s", side*x.threshold, d.Text)
		}
	}
}

// A bath has drifted where its pH lies by more than 0.3 above the one wanted and it takes, left
// alone, less than half of what it would take held there; else it works, and a remedy is told
// from 0.3 on all the same.
func TestWhereDriftBegins(t *testing.T) {
	citric := demo.Reagent(t, "citric acid")
	told := map[bath.Cause]int{}
	for _, oxide := range []string{"ferrihydrite", "lepidocrocite", "goethite", "hematite"} {
		o := demo.Oxide(t, oxide)
		for _, pH := range []float64{7.2, 7.29, 7.31, 7.6, 8.5, 9.5} {
			b, err := demo.Mix(t, demo.Recipe(t)).At(pH)
			require.NoError(t, err)
			d, err := b.Diagnose(o, 7, citric)
			require.NoError(t, err)
			alone, _, err := b.LeftAlone(o)
			require.NoError(t, err)
			held, err := b.Held(o, 7)
			require.NoError(t, err)
			want := bath.Working
			if pH > 7.3 && alone.IronMoles < 0.5*held.IronMoles {
				want = bath.Drifted
			}
			told[d.Cause]++
			assert.Equal(t, want, d.Cause, "%s at pH %g", oxide, pH)
			assert.Equal(t, pH > 7.3, d.Remedy != nil, "%s at pH %g", oxide, pH)
		}
	}
	assert.Greater(t, min(told[bath.Working], told[bath.Drifted]), 5)
}
