package titration_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/solution/titration"
)

// bathSample is 100 mL of the tool library's bath after a morning's work: tap
// water, tetrasodium EDTA, citric acid to a pH, iron and a little zinc.
// Invented, for benchmarks and laws.
func bathSample(t testing.TB, pH float64) *solution.Solution {
	t.Helper()
	tb := standard(t)
	s, err := solution.New(tb, chem.Celsius(25))
	require.NoError(t, err)
	tap, err := tb.Water("moderately hard tap water")
	require.NoError(t, err)
	require.NoError(t, s.AddWater(tap, 100*mL))
	salt, err := tb.Reagent("tetrasodium EDTA tetrahydrate")
	require.NoError(t, err)
	require.NoError(t, s.Add(salt, 0.0025))
	require.NoError(t, s.AddSpecies("FeOOH(s, lepidocrocite)", 0.002))
	require.NoError(t, s.AddSpecies("Zn2+", 1e-4))
	require.NoError(t, s.AddSpecies("Cl-", 2e-4))
	acid, err := tb.Reagent("citric acid")
	require.NoError(t, err)
	d, err := s.Dose(acid, solution.PH(pH))
	require.NoError(t, err)
	require.NoError(t, s.Add(acid, d.Mass()))
	return s
}

// BenchmarkCurve is a titration of the bath in 1000 points, BenchmarkWarmSolves
// the 1000 solves at the same volumes and nothing else. Compare the two.
func BenchmarkCurve(b *testing.B) {
	ctx := context.Background()
	run, err := titration.New(bathSample(b, 7), strongBase(b, 0.5), "H+")
	require.NoError(b, err)
	for name, g := range map[string]titration.Grid{
		"points": {UpTo: 20 * mL, Points: 1000},
		"slopes": {UpTo: 20 * mL, Points: 1000, Slopes: true},
	} {
		b.Run("streamed/"+name, func(b *testing.B) {
			for b.Loop() {
				for _, err := range run.Points(ctx, g) {
					if err != nil {
						b.Fatal(err)
					}
				}
			}
		})
		b.Run("collected/"+name, func(b *testing.B) {
			for b.Loop() {
				if _, err := run.Curve(ctx, g); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkWarmSolves(b *testing.B) {
	path, err := bathSample(b, 7).Path(strongBase(b, 0.5))
	require.NoError(b, err)
	for b.Loop() {
		for i := range 1000 {
			if err := path.At(0.020 * float64(i) / 999); err != nil {
				b.Fatal(err)
			}
		}
	}
}
