package titration_test

import (
	"context"
	"encoding/csv"
	"math"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/chem"
	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/titration"
)

// The formation constants that textbooks print come back out of the curves that
// they print, from a start 1.5 units off, within what two decimals of pM leave:
// conditional constants at pH 10 of testdata/edta-titrations.csv, a curve for each
// metal and concentration. Source and how it was had stand in each row.
func TestFitOfPublishedCurves(t *testing.T) {
	curves := map[worked][]titration.Reading{}
	for _, w := range workedTitrations(t) {
		if w.alphaM == 1 && w.titrand != "EDTA" {
			curve := worked{titrand: w.titrand, v0: w.v0, c0: w.c0, ct: w.ct, k: w.k}
			curves[curve] = append(curves[curve], titration.Reading{ML: w.v, P: w.pM})
		}
	}
	n := 0
	for c, readings := range curves {
		if len(readings) < 6 {
			continue
		}
		n++
		stem, charge := c.titrand[:len(c.titrand)-2], c.titrand[len(c.titrand)-2]
		chelate := stem + map[byte]string{'2': "(edta)^2-", '3': "(edta)-"}[charge]
		sample, titrant := mix(t, c.v0, map[string]float64{c.titrand: c.c0}), mix(t, 100, map[string]float64{"edta4-": c.ct})
		only(t, sample, titrant, canonical(t, map[string]float64{chelate: math.Log10(c.k) - 1.5}))
		require.NoError(t, sample.HoldPH(10))
		run, err := titration.New(sample, titrant, c.titrand)
		require.NoError(t, err)
		const rounding = 0.01 / 3.464 // the standard uncertainty of two decimals
		f, err := run.Fit(context.Background(), readings, titration.Fitting{Standard: rounding}, titration.FormationConstant(chelate))
		require.NoError(t, err, "%+v", c)
		e := f.Estimates[0]
		assert.InDelta(t, math.Log10(c.k), e.Value, 4*e.Standard, "%+v", c)
		assert.Less(t, e.Standard, 0.003)
		t.Logf("%s %g mol/L: log K' %.4f ± %.4f, printed %.4f", c.titrand, c.c0, e.Value, e.Standard, math.Log10(c.k))
	}
	assert.GreaterOrEqual(t, n, 4)
}

// A constant out of readings of a real meter: phosphate between its first and its
// second proton, from the buffer mixtures of Bower & Bates (rows of
// testdata/buffer-tables.csv), 50 mL of 0.1 mol/L KH2PO4 and lye made up to 100 mL.
// What is found is the pK2 of Bates & Acree, 7.198 at 25 °C and zero ionic strength (J. Res.
// Natl. Bur. Stand. 30 (1943) 129; from memory, as in testdata/acid-constants.csv).
func TestFitOfMeasuredBuffers(t *testing.T) {
	f, err := os.Open("../../testdata/buffer-tables.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	var readings []titration.Reading
	for _, r := range rows[1:] {
		if !strings.HasPrefix(r[0], "bb-kh2po4-naoh-") {
			continue
		}
		_, after, found := strings.Cut(r[2], "V2_mL=")
		require.True(t, found)
		ml, _, _ := strings.Cut(after, ";")
		// all are made up to one volume, so the lye is poured a hundred times as
		// strong and takes up no room to speak of
		readings = append(readings, titration.Reading{ML: number(t, ml) / 100, P: number(t, r[3])})
	}
	require.GreaterOrEqual(t, len(readings), 10)
	sample, titrant := mix(t, 100, map[string]float64{"K+": 0.05, "H2PO4-": 0.05}), mix(t, 100, map[string]float64{"Na+": 10, "OH-": 10})
	run, err := titration.New(sample, titrant, "H+")
	require.NoError(t, err)
	for _, robust := range []bool{false, true} {
		fit, err := run.Fit(context.Background(), readings, titration.Fitting{Robust: robust}, titration.AcidConstant("H2PO4-"))
		require.NoError(t, err)
		assert.InDelta(t, 7.198, fit.Estimates[0].Value, 0.02)
		assert.Less(t, fit.Scatter, 0.02, "the table is given to 0.01")
		t.Logf("pK2 %.4f ± %.4f, scatter %.3f", fit.Estimates[0].Value, fit.Estimates[0].Standard, fit.Scatter)
	}
}

// Stated uncertainties hold: of simulated titrations whose truths lie off the start
// by much more than that, 95.4 % must lie within two standard uncertainties. So
// many draws have a standard deviation of 0.5 %.
func TestFitOfConstantsHolds(t *testing.T) {
	if testing.Short() {
		t.Skip("two thousand fits")
	}
	// set puts a constant of the caller's in the place of that of the tables
	set := func(s *solution.Solution, species string, add float64) float64 {
		f, err := demo.Tables(t).Formation(species)
		require.NoError(t, err)
		x := f.Constant.Log10K(chem.Celsius(25), 0) + add
		require.NoError(t, s.SetConstant(species, x, 0))
		return x
	}
	for name, c := range map[string]struct {
		sample, titrant map[string]float64
		probe           string
		moved           map[string]float64 // true less assumed constant
		volumes         []float64
		standard, ml    float64
		unknowns        []titration.Unknown
		truth           map[titration.Unknown]float64
	}{
		// a chelant with a metal under lye: the metal drives the protons off early
		"by pH": {
			map[string]float64{"Ca2+": 0.004, "Cl-": 0.008, "H2edta2-": 0.005, "K+": 0.01}, map[string]float64{"K+": 0.05, "OH-": 0.05}, "H+",
			map[string]float64{"Ca(edta)^2-": 0.5}, steps(0.5, 12, 0.5), 0.01, 0.005,
			[]titration.Unknown{titration.FormationConstant("Ca(edta)^2-"), titration.Concentration("H2edta2-"), titration.Offset},
			map[titration.Unknown]float64{titration.Offset: 0.03},
		},
		// a salt that comes down, followed by an electrode for the metal
		"by pM": {
			map[string]float64{"SO4^2-": 0.01, "Na+": 0.02}, map[string]float64{"Ba2+": 0.05, "Cl-": 0.1}, "Ba2+",
			map[string]float64{"BaSO4(s, barite)": -0.7}, steps(1, 20, 1), 0.02, 0,
			[]titration.Unknown{titration.FormationConstant("barite"), titration.Strength, titration.Offset},
			map[titration.Unknown]float64{titration.Offset: -0.1, titration.Strength: 1},
		},
	} {
		actual, assumed := mix(t, 50, c.sample), mix(t, 50, c.sample)
		for species, add := range c.moved {
			set(assumed, species, 0)
			c.truth[c.unknowns[0]] = set(actual, species, add)
		}
		model, err := titration.New(assumed, mix(t, 100, c.titrant), c.probe)
		require.NoError(t, err)
		if _, ok := c.truth[c.unknowns[1]]; !ok {
			require.NoError(t, actual.AddSpecies("H2edta2-", 0.0002*0.05))
			require.NoError(t, actual.AddSpecies("K+", 2*0.0002*0.05))
			c.truth[c.unknowns[1]] = 0.0052
		}
		truth, err := titration.New(actual, mix(t, 100, c.titrant), c.probe)
		require.NoError(t, err)
		const draws = 1000
		r := rand.New(rand.NewPCG(11, 2026))
		within := make([]int, len(c.unknowns))
		for range draws {
			readings := read(t, truth, c.volumes, c.standard, c.ml, c.truth[titration.Offset], r)
			f, err := model.Fit(context.Background(), readings, titration.Fitting{Standard: c.standard, VolumeStandard: unit.Volume(c.ml) * mL}, c.unknowns...)
			require.NoError(t, err, name)
			for i, e := range f.Estimates {
				if math.Abs(e.Value-c.truth[e.Unknown]) <= 2*e.Standard {
					within[i]++
				}
			}
		}
		t.Logf("%s: of %d within two standard uncertainties %v", name, draws, within)
		for i, n := range within {
			assert.InDelta(t, 0.95, float64(n)/draws, 0.02, "%s: %s", name, c.unknowns[i])
		}
	}
}

// A start four decades off, with a concentration three times too small, still
// leads home.
func TestFitFromAfar(t *testing.T) {
	run := func(acid, logK float64) *titration.Titration {
		sample := mix(t, 50, map[string]float64{"Hac": acid})
		require.NoError(t, sample.SetConstant("Hac", logK, 0))
		x, err := titration.New(sample, strongBase(t, 0.1), "H+")
		require.NoError(t, err)
		return x
	}
	readings := read(t, run(0.09, 4.7), steps(1, 60, 1.5), 0, 0, 0, rand.New(rand.NewPCG(1, 1)))
	for _, acid := range []float64{0.03, 0.2} {
		for _, logK := range []float64{1, 3, 6, 8.5} {
			f, err := run(acid, logK).Fit(context.Background(), readings, titration.Fitting{}, titration.Concentration("Hac"), titration.FormationConstant("Hac"))
			require.NoError(t, err, "from %g mol/L and %g", acid, logK)
			assert.InDelta(t, 0.09, f.Estimates[0].Value, 1e-8, "from %g mol/L and %g", acid, logK)
			assert.InDelta(t, 4.7, f.Estimates[1].Value, 1e-6, "from %g mol/L and %g", acid, logK)
		}
	}
}
