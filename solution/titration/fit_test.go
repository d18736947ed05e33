package titration_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/titration"
)

// vinegar is a sample of acetic acid under lye, with the activity coefficients of
// the library.
func vinegar(t testing.TB, acid, lye float64) *titration.Titration {
	t.Helper()
	run, err := titration.New(mix(t, 50, map[string]float64{"Hac": acid, "Na+": 0.02, "Cl-": 0.02}), strongBase(t, lye), "H+")
	require.NoError(t, err)
	return run
}

// read takes readings at volumes, with normal errors of pH and of volume.
func read(t testing.TB, run *titration.Titration, volumes []float64, sdPH, sdML, offset float64, r *rand.Rand) []titration.Reading {
	t.Helper()
	var out []titration.Reading
	for _, v := range volumes {
		p, err := run.At(unit.Volume(v+sdML*r.NormFloat64()) * mL)
		require.NoError(t, err)
		out = append(out, titration.Reading{ML: v, P: p.P + offset + sdPH*r.NormFloat64()})
	}
	return out
}

func steps(from, to, step float64) []float64 {
	var out []float64
	for v := from; v <= to+1e-9; v += step {
		out = append(out, v)
	}
	return out
}

func TestFitWithoutNoise(t *testing.T) {
	truth := vinegar(t, 0.0873, 0.1)
	readings := read(t, truth, steps(2, 60, 2), 0, 0, 0.05, rand.New(rand.NewPCG(1, 1)))
	f, err := vinegar(t, 0.05, 0.1).Fit(context.Background(), readings, titration.Fitting{},
		titration.Concentration("Hac"), titration.AcidConstant("Hac"), titration.Offset)
	require.NoError(t, err)
	assert.InDelta(t, 0.0873, f.Estimates[0].Value, 1e-8)
	hac, err := demo.Tables(t).Constant("H+ + ac- = Hac")
	require.NoError(t, err)
	assert.InDelta(t, hac.LogK, f.Estimates[1].Value, 1e-6)
	assert.InDelta(t, 0.05, f.Estimates[2].Value, 1e-6)
	assert.Less(t, f.Scatter, 1e-7)
}

// Five readings and two unknowns leave three degrees of freedom, for which Student's
// t at 95 % is 3.182 (any table of it).
func TestFitOfFewReadings(t *testing.T) {
	readings := read(t, vinegar(t, 0.0873, 0.1), steps(10, 50, 10), 0.01, 0, 0, rand.New(rand.NewPCG(3, 3)))
	f, err := vinegar(t, 0.08, 0.1).Fit(context.Background(), readings, titration.Fitting{}, titration.AcidConstant("Hac"), titration.Offset)
	require.NoError(t, err)
	for _, e := range f.Estimates {
		assert.InDelta(t, 3.182, (e.High-e.Value)/e.Standard, 0.0005, e.Unknown)
		assert.InDelta(t, 3.182, (e.Value-e.Low)/e.Standard, 0.0005, e.Unknown)
	}
}

// A robust fit trusts a reading z uncertainties off by 1/√(1 + (z/1.287)²), where
// 1.287 gives an efficiency of 0.95 with normal errors.
func TestFitTrusts(t *testing.T) {
	const standard, knee = 0.02, 1.287
	readings := read(t, vinegar(t, 0.0873, 0.1), steps(3, 57, 3), standard, 0, 0, rand.New(rand.NewPCG(5, 5)))
	readings[4].P += 0.3
	f, err := vinegar(t, 0.08, 0.1).Fit(context.Background(), readings, titration.Fitting{Standard: standard, Robust: true}, titration.Concentration("Hac"), titration.Offset)
	require.NoError(t, err)
	assert.Less(t, f.Weights[4], 0.1)
	for i, r := range f.Residuals {
		assert.InDelta(t, 1/math.Hypot(1, r/(standard*knee)), f.Weights[i], 1e-6)
	}
}

// A triprotic acid: all three constants and the concentration from one curve.
func TestFitCitricAcid(t *testing.T) {
	run := func(c float64) *titration.Titration {
		x, err := titration.New(mix(t, 25, map[string]float64{"H3cit": c}), strongBase(t, 0.1), "H+")
		require.NoError(t, err)
		return x
	}
	r := rand.New(rand.NewPCG(7, 7))
	readings := read(t, run(0.04), steps(1, 40, 1), 0.005, 0, 0, r)
	f, err := run(0.03).Fit(context.Background(), readings, titration.Fitting{Standard: 0.005},
		titration.Concentration("H3cit"), titration.AcidConstant("H3cit"), titration.AcidConstant("H2cit-"), titration.AcidConstant("Hcit2-"))
	require.NoError(t, err)
	want := []float64{0.04}
	for _, eq := range []string{"H+ + H2cit- = H3cit", "H+ + Hcit2- = H2cit-", "H+ + cit3- = Hcit2-"} {
		k, err := demo.Tables(t).Constant(eq)
		require.NoError(t, err)
		want = append(want, k.LogK)
	}
	for i, e := range f.Estimates {
		assert.InDelta(t, want[i], e.Value, 4*e.Standard, e.Unknown)
		assert.Less(t, e.Standard, 0.02, e.Unknown)
	}
	assert.InDelta(t, 1, f.Scatter, 0.4)
}

// Stated intervals hold the truth as often as they say, in noisy titrations with
// concentration, pKa and offset unknown: 95 % stated, and what is counted may be
// off by 3.5 standard deviations of the count. That is never below 90 %.
func TestFitCovers(t *testing.T) {
	truth := vinegar(t, 0.0873, 0.1)
	hac, err := demo.Tables(t).Constant("H+ + ac- = Hac")
	require.NoError(t, err)
	want := []float64{0.0873, hac.LogK, 0.02}
	volumes := steps(3, 57, 3)
	for name, c := range map[string]struct {
		how   titration.Fitting
		draws int
	}{
		"given uncertainties": {titration.Fitting{Standard: 0.02, VolumeStandard: 0.03 * mL}, 1000},
		"from the residuals":  {titration.Fitting{}, 500},
		"robust":              {titration.Fitting{Robust: true}, 300},
	} {
		how, draws := c.how, c.draws
		held := make([]int, len(want))
		sdML := float64(how.VolumeStandard / mL)
		model := vinegar(t, 0.08, 0.1)
		r := rand.New(rand.NewPCG(77, 5))
		for range draws {
			readings := read(t, truth, volumes, 0.02, sdML, 0.02, r)
			f, err := model.Fit(context.Background(), readings, how,
				titration.Concentration("Hac"), titration.AcidConstant("Hac"), titration.Offset)
			require.NoError(t, err)
			for i, e := range f.Estimates {
				if e.Low <= want[i] && want[i] <= e.High {
					held[i]++
				}
			}
		}
		t.Logf("%s: the 95 %% intervals hold the truth in %v of %d", name, held, draws)
		for i, n := range held {
			mean := 0.95 * float64(draws)
			assert.InDelta(t, mean, n, 3.5*math.Sqrt(0.05*mean), "%s: unknown %d", name, i)
		}
	}
}

// A blunder in ten drags least squares along and leaves the robust fit where it
// was.
func TestRobustFit(t *testing.T) {
	truth := vinegar(t, 0.0873, 0.1)
	r := rand.New(rand.NewPCG(3, 3))
	readings := read(t, truth, steps(2, 60, 2), 0.01, 0, 0, r)
	for _, i := range []int{3, 12, 18} {
		readings[i].P += 0.8
	}
	run := vinegar(t, 0.08, 0.1)
	unknowns := []titration.Unknown{titration.Concentration("Hac"), titration.AcidConstant("Hac")}
	plain, err := run.Fit(context.Background(), readings, titration.Fitting{}, unknowns...)
	require.NoError(t, err)
	robust, err := run.Fit(context.Background(), readings, titration.Fitting{Robust: true}, unknowns...)
	require.NoError(t, err)
	hac, err := demo.Tables(t).Constant("H+ + ac- = Hac")
	require.NoError(t, err)
	assert.Greater(t, math.Abs(plain.Estimates[1].Value-hac.LogK), 0.03)
	assert.InDelta(t, hac.LogK, robust.Estimates[1].Value, 0.02)
	assert.InDelta(t, 0.0873, robust.Estimates[0].Value, 0.0003)
	for i, w := range robust.Weights {
		if i == 3 || i == 12 || i == 18 {
			assert.Less(t, w, 0.1, "reading %d is a blunder", i)
		}
	}
	// without blunders the robust intervals are not far wider
	clean := read(t, truth, steps(2, 60, 2), 0.01, 0, 0, r)
	a, err := run.Fit(context.Background(), clean, titration.Fitting{}, unknowns...)
	require.NoError(t, err)
	b, err := run.Fit(context.Background(), clean, titration.Fitting{Robust: true}, unknowns...)
	require.NoError(t, err)
	assert.InEpsilon(t, a.Estimates[0].Standard, b.Estimates[0].Standard, 0.5)
}

func TestFitRefuses(t *testing.T) {
	ctx := context.Background()
	run := vinegar(t, 0.08, 0.1)
	readings := read(t, run, steps(2, 60, 2), 0, 0, 0, rand.New(rand.NewPCG(1, 1)))
	hac := titration.Concentration("Hac")
	for name, f := range map[string]func() error{
		"no unknowns":      func() error { _, err := run.Fit(ctx, readings, titration.Fitting{}); return err },
		"too few readings": func() error { _, err := run.Fit(ctx, readings[:1], titration.Fitting{}, hac); return err },
		"twice the same":   func() error { _, err := run.Fit(ctx, readings, titration.Fitting{}, hac, hac); return err },
		"NaN": func() error {
			_, err := run.Fit(ctx, []titration.Reading{{ML: 1, P: math.NaN()}, {ML: 2, P: 3}}, titration.Fitting{}, hac)
			return err
		},
		"not in the sample": func() error {
			_, err := run.Fit(ctx, readings, titration.Fitting{}, titration.Concentration("Ca2+"))
			return err
		},
		"no acid": func() error {
			_, err := run.Fit(ctx, readings, titration.Fitting{}, titration.AcidConstant("ac-"))
			return err
		},
		"left out": func() error {
			sample := mix(t, 50, map[string]float64{"Hac": 0.1})
			require.NoError(t, sample.SetConstant("Hac", math.Inf(-1), 0))
			run, err := titration.New(sample, strongBase(t, 0.1), "H+")
			require.NoError(t, err)
			_, err = run.Fit(ctx, readings, titration.Fitting{}, titration.FormationConstant("Hac"))
			return err
		},
		"a component": func() error {
			_, err := run.Fit(ctx, readings, titration.Fitting{}, titration.FormationConstant("ac-"))
			return err
		},
		"volume without pH": func() error { _, err := run.Fit(ctx, readings, titration.Fitting{VolumeStandard: mL}, hac); return err },
	} {
		assert.ErrorIs(t, f(), chem.ErrInput, name)
	}
	// all the acid's protons by two names: the curve cannot tell
	_, err := run.Fit(ctx, readings, titration.Fitting{}, hac, titration.Concentration("ac-"), titration.Concentration("H+"))
	assert.ErrorIs(t, err, chem.ErrInput)
	assert.ErrorContains(t, err, "not to be told apart by the readings")
	canceled, cancel := context.WithCancel(ctx)
	cancel()
	_, err = run.Fit(canceled, readings, titration.Fitting{}, hac)
	assert.ErrorIs(t, err, context.Canceled)
	held := mix(t, 50, map[string]float64{"Hac": 0.1})
	require.NoError(t, held.HoldPH(5))
	stuck, err := titration.New(held, strongBase(t, 0.1), "H+")
	require.NoError(t, err)
	_, err = stuck.Fit(ctx, readings, titration.Fitting{}, hac)
	assert.ErrorContains(t, err, "concentration of Hac is without effect on the readings")
}

func BenchmarkTitrationFit(b *testing.B) {
	truth := vinegar(b, 0.0873, 0.1)
	readings := read(b, truth, steps(3, 57, 3), 0.02, 0, 0, rand.New(rand.NewPCG(77, 5)))
	model := vinegar(b, 0.08, 0.1)
	for b.Loop() {
		if _, err := model.Fit(context.Background(), readings, titration.Fitting{},
			titration.Concentration("Hac"), titration.AcidConstant("Hac"), titration.Offset); err != nil {
			b.Fatal(err)
		}
	}
}
