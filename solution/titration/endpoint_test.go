package titration_test

import (
	"context"
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/titration"
	"example.com/chelation/tables"
)

func indicator(t testing.TB, name string) tables.Indicator {
	t.Helper()
	x, err := demo.Tables(t).Indicator(name)
	require.NoError(t, err)
	return x
}

// Acid–base titration errors against the formulas that every text derives from
// the proton balance, at the endpoint pH:
//
//	strong acid  TE = ([OH−] − [H+])/c
//	weak acid    TE = ([OH−] − [H+])/c − [HA]/(c)
//
// with c the analyte's concentration at the endpoint.
func TestAcidBaseError(t *testing.T) {
	ctx := context.Background()
	for _, name := range []string{"methyl orange", "methyl red", "bromothymol blue", "phenolphthalein"} {
		x := indicator(t, name)
		strong := book(t, mix(t, 50, map[string]float64{"H+": 0.1, "Cl-": 0.1}), strongBase(t, 0.1), "H+", nil)
		ends, err := strong.Endpoints(ctx, x, 100*mL)
		require.NoError(t, err)
		require.Len(t, ends, 1, name)
		e := ends[0]
		pH := (x.Changes[0].LowPH + x.Changes[0].HighPH) / 2
		assert.InDelta(t, pH, e.P, 1e-9, name)
		c := 0.1 * 50 / (50 + e.ML)
		want := (math.Pow(10, pH-14) - math.Pow(10, -pH)) / c
		assert.InDelta(t, want, e.ML/50-1, 1e-9, name)
		assert.Less(t, e.BeginsML, e.ML)
		assert.Greater(t, e.CompleteML, e.ML)
		assert.Equal(t, x.Colours[0], e.From)
		assert.Equal(t, x.Colours[1], e.To)
	}
	const ka = 1.75e-5
	weak := book(t, mix(t, 50, map[string]float64{"Hac": 0.1}), strongBase(t, 0.1), "H+", map[string]float64{"Hac": -math.Log10(ka)})
	ends, err := weak.Endpoints(ctx, indicator(t, "phenolphthalein"), 100*mL)
	require.NoError(t, err)
	h := math.Pow(10, -ends[0].P)
	c := 0.1 * 50 / (50 + ends[0].ML)
	assert.InDelta(t, (1e-14/h-h)/c-h/(h+ka), ends[0].ML/50-1, 1e-9)
}

// The relative error of a titration that ends δ units of pM after equivalence,
//
//	(10^δ − 10^−δ)/√(K′ c)
//
// with the metal's concentration c there (A. Ringbom, Complexation in Analytical
// Chemistry, 1963; from memory), against the simulated curve with conditional
// constants from 10^6 to 10^14: it leaves out dilution past equivalence and holds
// for small errors.
func TestChelationErrorAgainstCurve(t *testing.T) {
	for _, logK := range []float64{6, 8, 10, 14} {
		sample := mix(t, 50, map[string]float64{"Ca2+": 0.02})
		titrant := mix(t, 100, map[string]float64{"edta4-": 0.02})
		only(t, sample, titrant, canonical(t, map[string]float64{"Ca(edta)^2-": logK}))
		require.NoError(t, sample.HoldPH(10))
		run, err := titration.New(sample, titrant, "Ca2+")
		require.NoError(t, err)
		at, err := run.At(50 * mL)
		require.NoError(t, err)
		k := math.Pow(10, logK)
		assert.InDelta(t, -math.Log10((math.Sqrt(1+0.04*k)-1)/(2*k)), at.P, 1e-8, "K′x² = c − x at equivalence, nearly pM = ½(log K′ + pc)")
		for _, delta := range []float64{-1, -0.3, 0.3, 1} {
			target := at.P + delta
			low, high := 40.0, 60.0
			for range 60 {
				mid := (low + high) / 2
				p, err := run.At(unit.Volume(mid) * mL)
				require.NoError(t, err)
				if p.P < target {
					low = mid
				} else {
					high = mid
				}
			}
			want := (math.Pow(10, delta) - math.Pow(10, -delta)) / math.Sqrt(k*0.01)
			if math.Abs(want) < 0.02 {
				assert.InEpsilon(t, want, low/50-1, 0.02, "log K' %g, delta %g", logK, delta)
			}
		}
	}
}

// Minimum pH, conditional constants and α of the textbooks, as quoted in
// testdata/edta-conditional.csv.
func TestConditionalAgainstTextbooks(t *testing.T) {
	f, err := os.Open("../../testdata/edta-conditional.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	n := 0
	for _, r := range rows[1:] {
		if r[1] != "minimum_pH_for_titration" {
			continue
		}
		at := map[string]string{}
		for pair := range strings.SplitSeq(r[2], ";") {
			key, value, _ := strings.Cut(pair, "=")
			at[key] = value
		}
		var pK []float64
		for text := range strings.SplitSeq(at["pK"], "|") {
			pK = append(pK, number(t, text))
		}
		c, err := solution.PairOf(number(t, at["log_K"]), pK...)
		require.NoError(t, err)
		low, _, err := c.Window(number(t, at["log_K_conditional"]))
		require.NoError(t, err)
		assert.InDelta(t, number(t, r[3]), low, number(t, r[5]), "%s: %s", r[0], r[9])
		assert.InDelta(t, number(t, at["log_K_conditional"]), c.LogConditional(low), 1e-9)
		n++
	}
	assert.GreaterOrEqual(t, n, 5)
	assert.InDelta(t, solution.EndpointLogK, titration.NeededLogK(0.001, 0.01), 1e-12)
	// Schwarzenbach's acid constants give α(Y4−) of 0.35 at pH 10 and 5.4e-3 at 8
	// (Skoog et al., as in testdata/edta-alpha.csv)
	c, err := solution.PairOf(math.Log10(5.0e10), 2.00, 2.67, 6.16, 10.26)
	require.NoError(t, err)
	assert.InDelta(t, 0.35, c.Fraction(10), 0.005)
	assert.InDelta(t, 5.4e-3, c.Fraction(8), 0.05e-3)
	assert.InDelta(t, math.Log10(1.75e10), c.LogConditional(10), 0.01)
}

// With the tables' own constants: what hydroxide takes away again, and the order
// of the metals.
func TestConditionalFromTables(t *testing.T) {
	last := 0.0
	around := solution.Surroundings{Temperature: 298.15, IonicStrength: 0.1}
	for _, metal := range []string{"Fe3+", "Ni2+", "Zn2+", "Fe2+", "Ca2+", "Mg2+"} {
		c, err := solution.NewPair(demo.Tables(t), metal, "edta4-", around)
		require.NoError(t, err)
		low, high, err := c.Window(8)
		require.NoError(t, err, metal)
		assert.Greater(t, low, last, "the weaker the complex, the higher the pH: %s", metal)
		assert.Greater(t, high, low)
		last = low
		if metal == "Ca2+" {
			assert.InDelta(t, 7.5, low, 0.4) // Reilley & Schmid 1958: about 7.3 to 7.5, from memory
		}
		assert.GreaterOrEqual(t, c.LogConditional(low+1), 8.0)
	}
	_, err := solution.NewPair(demo.Tables(t), "Na+", "CO3^2-", around)
	assert.Error(t, err)
	around.IonicStrength = math.NaN()
	_, err = solution.NewPair(demo.Tables(t), "Ca2+", "edta4-", around)
	assert.Error(t, err)
}

// The share of a metal's dye follows from pM and the conditional constant of its
// complex: half at pM = log K′(MIn). Eriochrome black T with magnesium at pH 10:
// log K′ = 7.0 − log(1 + 10^(11.55−10)) = 5.4 (Ringbom 1963 gives 5.4, from
// memory).
func TestMetalIndicator(t *testing.T) {
	sample := mix(t, 50, map[string]float64{"Mg2+": 0.005, "Cl-": 0.01})
	require.NoError(t, sample.HoldPH(10))
	sample.SetIdeal(true)
	titrant := mix(t, 100, map[string]float64{"Na+": 0.02, "H2edta2-": 0.01})
	run, err := titration.New(sample, titrant, "Mg2+")
	require.NoError(t, err)
	x := indicator(t, "EBT")
	ends, err := run.Endpoints(context.Background(), x, 50*mL)
	require.NoError(t, err)
	require.Len(t, ends, 1)
	assert.InDelta(t, 7.0-math.Log10(1+math.Pow(10, 1.55)), ends[0].P, 0.01)
	assert.Equal(t, "wine red", ends[0].From)
	assert.Equal(t, "blue", ends[0].To)
	last := 2.0
	for p, err := range run.Points(context.Background(), titration.Grid{UpTo: 50 * mL}) {
		require.NoError(t, err)
		shades, err := run.Shades(x, unit.Volume(p.ML)*mL)
		require.NoError(t, err)
		sum, bound := 0.0, 0.0
		for _, s := range shades {
			if sum += s.Share; s.Metal != "" {
				bound += s.Share
			}
		}
		assert.LessOrEqual(t, bound, last, "at %g mL", p.ML)
		last = bound
		assert.InDelta(t, 1, sum, 1e-12)
	}
}

func TestJudge(t *testing.T) {
	ctx := context.Background()
	weak := book(t, mix(t, 50, map[string]float64{"Hac": 0.1}), strongBase(t, 0.1), "H+", map[string]float64{"Hac": 4.76})
	verdicts, err := weak.Judge(ctx, tables.All[tables.Indicator](demo.Tables(t)), 50*mL, 100*mL, 0.005)
	require.NoError(t, err)
	find := func(name string) titration.Verdict {
		i := slices.IndexFunc(verdicts, func(v titration.Verdict) bool { return v.Indicator == name })
		require.GreaterOrEqual(t, i, 0, name)
		return verdicts[i]
	}
	// every textbook: phenolphthalein for acetic acid, not methyl orange
	assert.True(t, find("Phenolphthalein").Suits, find("Phenolphthalein").Why)
	assert.False(t, find("Methyl orange").Suits)
	assert.Contains(t, find("Methyl orange").Why, "too far")
	assert.True(t, verdicts[0].Suits)
	for _, v := range verdicts {
		assert.NotEmpty(t, v.Why, v.Indicator)
	}
	// hardness at pH 10: eriochrome black T or calmagite, and at pH 5 neither
	hard := func(pH float64) []titration.Verdict {
		sample := mix(t, 50, map[string]float64{"Ca2+": 0.0015, "Mg2+": 0.0005, "Cl-": 0.004})
		require.NoError(t, sample.HoldPH(pH))
		run, err := titration.New(sample, mix(t, 100, map[string]float64{"Na+": 0.02, "H2edta2-": 0.01}), "Mg2+")
		require.NoError(t, err)
		v, err := run.Judge(ctx, tables.All[tables.Indicator](demo.Tables(t)), 10*mL, 20*mL, 0.02)
		require.NoError(t, err)
		return v
	}
	verdicts = hard(10)
	assert.True(t, find("Eriochrome black T").Suits, find("Eriochrome black T").Why)
	verdicts = hard(5)
	for _, v := range verdicts {
		assert.False(t, v.Suits, "%s: %s", v.Indicator, v.Why)
	}
}
