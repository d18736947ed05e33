package titration_test

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/chelation/chem"
	"example.com/chelation/solution/titration"
)

// At gives a place and no derivatives; a curve that is not asked for them neither.
func TestAtHasNoSlopes(t *testing.T) {
	run := book(t, mix(t, 50, map[string]float64{"H+": 0.1, "Cl-": 0.1}), strongBase(t, 0.1), "H+", nil)
	p, err := run.At(20 * mL)
	require.NoError(t, err)
	require.Zero(t, p.SlopePerML)
	require.Zero(t, p.BendPerML2)
	// (5.0 − 2.0) mmol in 70 mL, at unit activity coefficients: pH = −log10(3/70).
	require.InDelta(t, -math.Log10(3.0/70), p.P, 1e-6)
}

// What no probe reads is refused by name: a pH below that of fuming acid, or a pM
// beyond a hundred; what lies just within is taken.
func TestReadingsWithinAProbe(t *testing.T) {
	readings := func(p float64) []titration.Reading {
		return []titration.Reading{{ML: 1, P: p}, {ML: 2, P: 2}, {ML: 3, P: 3}}
	}
	for p, good := range map[float64]bool{-3.5: false, -2.9: true, 99: true, 101: false, math.NaN(): false} {
		_, err := titration.Gran(titration.GranFalling, 50*mL, readings(p))
		if good {
			require.NotErrorIs(t, err, chem.ErrInput, p)
			continue
		}
		var e *chem.InputError
		require.ErrorAs(t, err, &e, p)
		require.Equal(t, "reading 1", e.Field)
	}
}

// Two points are a curve: its beginning and its end.
func TestCurveOfTwoPoints(t *testing.T) {
	run := book(t, mix(t, 50, map[string]float64{"H+": 0.1, "Cl-": 0.1}), strongBase(t, 0.1), "H+", nil)
	points, err := run.Curve(context.Background(), titration.Grid{UpTo: 30 * mL, Points: 2})
	require.NoError(t, err)
	require.Len(t, points, 2)
	require.Zero(t, points[0].ML)
	require.InDelta(t, 30, points[1].ML, 1e-9)
}

// An uncertainty is written to two digits after rounding, not before (JCGM 100:2008, 7.2.6, gives
// two at most): 0.0996 is 0.10 and 0.0994 is 0.099.
func TestTwoDigitsAfterRounding(t *testing.T) {
	require.Equal(t, "1.23 ± 0.10", titration.Result{Value: 1.2345, Standard: 0.0996}.String())
	require.Equal(t, "1.234 ± 0.099", titration.Result{Value: 1.2341, Standard: 0.0994}.String())
}

// Readings that do not bend towards an end have none.
func TestLevelReadingsHaveNoEnd(t *testing.T) {
	level := []titration.Reading{{ML: 1, P: 3}, {ML: 2, P: 3}, {ML: 3, P: 3}}
	_, err := titration.Gran(titration.GranFalling, 50*mL, level)
	require.ErrorIs(t, err, titration.ErrNone)
}

// Where there is none of the ion nothing bends; what is no unknown is told what one looks like.
func TestNoIonAndNoUnknown(t *testing.T) {
	lime := mix(t, 100, map[string]float64{"Ca2+": 0.1, "Cl-": 0.2})
	run, err := titration.New(mix(t, 50, map[string]float64{"Na+": 0.1, "Cl-": 0.1}), lime, "Ca2+")
	require.NoError(t, err)
	curve, err := run.Curve(t.Context(), titration.Grid{UpTo: 10 * mL, Points: 3, Slopes: true})
	require.NoError(t, err)
	require.True(t, math.IsInf(curve[0].P, 1))
	require.Zero(t, curve[0].SlopePerML)
	require.Negative(t, curve[1].SlopePerML)
	_, err = run.Fit(t.Context(), []titration.Reading{{ML: 1, P: 3}, {ML: 2, P: 4}, {ML: 3, P: 5}}, titration.Fitting{}, "pKa")
	require.ErrorContains(t, err, `unknown is "pKa": want such as`)
}
