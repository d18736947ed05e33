package titration_test

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/titration"
)

// bathSample is 100 mL of the tool library's bath after a morning's work: tap
// water, tetrasodium EDTA, citric acid to a pH, iron and a little zinc. Invented,
// for benchmarks and laws.
func bathSample(t testing.TB, pH float64) *solution.Solution {
	t.Helper()
	tb := demo.Tables(t)
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

// BenchmarkTitrationCurve titrates the bath in 1000 points and sets that against 1000 warm
// solves at the same volumes with nothing around them. Both are run in turn and
// the quickest of each is kept, so that the ratio holds on a busy machine.
func BenchmarkTitrationCurve(b *testing.B) {
	ctx := context.Background()
	sample, titrant := bathSample(b, 7), strongBase(b, 0.5)
	run, err := titration.New(sample, titrant, "H+")
	require.NoError(b, err)
	path, _, err := sample.Path(titrant)
	require.NoError(b, err)
	solves := func() error {
		for i := range 1000 {
			if err := path.At(0.020 * float64(i) / 999); err != nil {
				return err
			}
		}
		return nil
	}
	stream := func(g titration.Grid) func() error {
		return func() error {
			for _, err := range run.Points(ctx, g) {
				if err != nil {
					return err
				}
			}
			return nil
		}
	}
	even := titration.Grid{UpTo: 20 * mL, Points: 1000}
	slopes := even
	slopes.Slopes = true
	for _, c := range []struct {
		name  string
		curve func() error
	}{
		{"streamed", stream(even)},
		{"collected", func() error { _, err := run.Curve(ctx, even); return err }},
		{"with slopes", stream(slopes)},
	} {
		b.Run(c.name, func(b *testing.B) {
			var least [2]time.Duration
			for b.Loop() {
				for k, f := range []func() error{solves, c.curve} {
					start := time.Now()
					if err := f(); err != nil {
						b.Fatal(err)
					}
					if took := time.Since(start); least[k] == 0 || took < least[k] {
						least[k] = took
					}
				}
			}
			b.ReportMetric(float64(least[1])/float64(least[0]), "curve/solves")
			b.ReportMetric(float64(least[0].Nanoseconds())/1000, "ns/solve")
		})
	}
}
