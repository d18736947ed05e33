package main

import (
	"maps"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/tables"
)

// The two widths that every constant has, for what laboratories differ by and for what one
// linear term leaves out, are chosen anew on the left-out values of every other table of
// constants, by their likelihood, and asked of the ligands of the rest: twice the
// uncertainty holds about 19 in 20 of what the choice has not seen, and that in use more.
func TestWidthsChosenOnTheOtherHalf(t *testing.T) {
	const laboratories, curvature = 0.05, 0.015 // of package chem
	standard, err := tables.Standard()
	require.NoError(t, err)
	byTable := map[string][]foretold{}
	for _, f := range leftOut(standard) {
		byTable[f.equilibrium.Table] = append(byTable[f.equilibrium.Table], f)
	}
	var halves [2][]foretold
	for i, name := range slices.Sorted(maps.Keys(byTable)) {
		halves[i%2] = append(halves[i%2], byTable[name]...)
	}
	sigma := func(f foretold, l, c float64) float64 {
		z2 := f.equilibrium.DeltaZ2
		return math.Sqrt(f.sigma*f.sigma + l*l - laboratories*laboratories + (c*c-curvature*curvature)*z2*z2)
	}
	within := func(half []foretold, l, c float64) float64 {
		n := 0.0
		for _, f := range half {
			if math.Abs(f.difference) <= 2*sigma(f, l, c) {
				n++
			}
		}
		return n / float64(len(half))
	}
	require.NotEmpty(t, halves[1])
	for i, half := range halves {
		other := halves[1-i]
		best, l, c := math.Inf(-1), 0.0, 0.0
		for a := 0.0; a <= 0.15; a += 0.005 { // log units
			for b := 0.0; b <= 0.04; b += 0.0025 { // the same per Δz²
				log := 0.0
				for _, f := range half {
					s := sigma(f, a, b)
					log -= math.Log(s) + f.difference*f.difference/(2*s*s)
				}
				if log > best {
					best, l, c = log, a, b
				}
			}
		}
		t.Logf("chosen on %d values: %.3f and %.4f Δz², hold %.1f %% there and %.1f %% of %d others; the widths in use %.1f %%",
			len(half), l, c, 100*within(half, l, c), 100*within(other, l, c), len(other), 100*within(other, laboratories, curvature))
		require.InDelta(t, 0.95, within(other, l, c), 0.03)
		require.InDelta(t, 0.96, within(other, laboratories, curvature), 0.02)
	}
}
