package solution

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/tables"
)

// The slopes against what happens when a constant of the caller's is moved. The
// pair Na(edta)3- is made by one reaction and nothing else rests on it.
func TestUncertaintySlopes(t *testing.T) {
	s := tub(t)
	require.NoError(t, s.Add(reagent(t, "citric acid"), 0.06))
	u, err := s.Uncertainty(PH(0))
	require.NoError(t, err)
	sum := 0.0
	for i, p := range u.Parts {
		sum += p.Sigma * p.Sigma
		if i > 0 {
			assert.LessOrEqual(t, p.Sigma, u.Parts[i-1].Sigma, "largest first")
		}
	}
	assert.InDelta(t, u.Sigma*u.Sigma, sum, 1e-15)
	assert.Greater(t, u.Sigma, 0.005)
	assert.Less(t, u.Sigma, 0.3)

	f, err := standard(t).Formation("Na(edta)^3-")
	require.NoError(t, err)
	const h, ionic = 1e-4, 0.3
	at := func(shift float64) float64 {
		v := s.Clone()
		require.NoError(t, v.SetConstant("Na(edta)^3-", f.Constant.Log10K(s.Temperature(), ionic)+shift, ionic))
		return equilibrate(t, v).PH
	}
	want := (at(h) - at(-h)) / (2 * h)
	for _, p := range u.Parts {
		if p.Reaction == "Na+ + edta4- = Na(edta)^3-" {
			assert.InDelta(t, want, p.Slope, 1e-6*math.Abs(want)+1e-9)
			return
		}
	}
	t.Fatal("the pair is not among the parts")
}

func TestUncertaintyOpenAndRefused(t *testing.T) {
	s := tub(t)
	require.NoError(t, s.Open(AirCO2))
	u, err := s.Uncertainty(PM("Ca2+", 0))
	require.NoError(t, err)
	assert.Positive(t, u.Sigma)
	_, err = s.Uncertainty(PM("CO3^2-", 0))
	assert.ErrorIs(t, err, chem.ErrInput, "the air holds it")
	_, err = s.Uncertainty(PM("Pb2+", 0))
	assert.ErrorIs(t, err, chem.ErrInput)
	// A constant of the caller's is taken as exact.
	v := tub(t)
	require.NoError(t, v.SetConstant("Na(edta)^3-", 1.8, 0.1))
	w, err := v.Uncertainty(PH(0))
	require.NoError(t, err)
	for _, p := range w.Parts {
		assert.NotEqual(t, "Na+ + edta4- = Na(edta)^3-", p.Reaction)
	}
}

// The slopes of what a solid holds against what happens when its own constant, or that
// of a species on which no other rests, is moved.
func TestSolidUncertaintySlopes(t *testing.T) {
	s := tub(t)
	require.NoError(t, s.AddSpecies("Fe(OH)3(s, ferrihydrite)", 2))
	slopes := ironSlopes(t, s)
	const h, ionic = 1e-4, 0.3
	for species, reaction := range map[string]string{
		"Fe(OH)3(s, ferrihydrite)": "Fe(OH)3(s, ferrihydrite) + 3 H+ = Fe3+ + 3 H2O",
		"Na(edta)^3-":              "Na+ + edta4- = Na(edta)^3-",
	} {
		f, err := standard(t).Formation(species)
		require.NoError(t, err)
		left := func(shift float64) float64 { // mol/L of the solid
			v := s.Clone()
			require.NoError(t, v.SetConstant(species, f.Constant.Log10K(s.Temperature(), ionic)+f.Steps[0].N*shift, ionic))
			st := equilibrate(t, v)
			i := slices.IndexFunc(st.Solids, func(x Solid) bool { return x.Species == "Fe(OH)3(s, ferrihydrite)" })
			return st.Solids[i].Moles / st.VolumeLitres
		}
		want := (left(h) - left(-h)) / (2 * h)
		require.NotZero(t, want)
		assert.InEpsilon(t, want, slopes[reaction], 1e-5, reaction)
	}
}

// ironSlopes are the derivatives of the iron which the solids hold, mol/L, by log10 K of each reaction.
func ironSlopes(t *testing.T, s *Solution) map[string]float64 {
	r, err := s.Solve()
	require.NoError(t, err)
	defer r.Return()
	weight := make([]float64, len(r.Solids))
	for k := range weight {
		for _, m := range r.Made[len(r.Species)+k] {
			if r.Components[m.Component].Class == tables.IronMetal {
				weight[k] += m.N
			}
		}
	}
	gradient, err := r.SolidGradient(weight)
	require.NoError(t, err)
	slopes := map[string]float64{}
	for f, slope := range r.Slopes(gradient) {
		slopes[f.Reaction] = slope
	}
	return slopes
}
