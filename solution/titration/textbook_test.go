package titration_test

import (
	"context"
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/unit"

	"example.com/chelation/solution"
	"example.com/chelation/solution/internal/demo"
	"example.com/chelation/solution/titration"
)

const mL = unit.Volume(1e-6)

// mix is a volume at 25 °C with species in mol/L.
func mix(t testing.TB, ml float64, ions map[string]float64) *solution.Solution {
	t.Helper()
	s, err := solution.New(demo.Tables(t), 298.15)
	require.NoError(t, err)
	require.NoError(t, s.AddPureWater(unit.Volume(ml)*mL))
	for ion, c := range ions {
		require.NoError(t, s.AddSpecies(ion, unit.Mole(c*ml/1000)))
	}
	return s
}

// only leaves a vessel, once the other is poured in, the complexes listed with
// these constants of a book's, without activity coefficients.
func only(t testing.TB, s, titrant *solution.Solution, constants map[string]float64) {
	t.Helper()
	s.SetIdeal(true)
	path, _, err := s.Path(titrant)
	require.NoError(t, err)
	for j, sp := range path.Text[:len(path.Species)] {
		bare := slices.Contains(path.Bare, j)
		if k, keep := constants[sp]; keep {
			require.NoError(t, s.SetConstant(sp, k, 0))
		} else if !bare && sp != "OH-" {
			require.NoError(t, s.SetConstant(sp, math.Inf(-1), 0))
		}
	}
	for _, solid := range path.Text[len(path.Species):] {
		require.NoError(t, s.Bar(solid))
	}
}

// worked is a row of testdata/edta-titrations.csv.
type worked struct {
	id, source                        string
	titrand, titrant                  string
	v0, c0, ct, v, k, alphaM, pM, tol float64
}

func workedTitrations(t *testing.T) []worked {
	t.Helper()
	f, err := os.Open("../../testdata/edta-titrations.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	column := map[string]int{}
	for i, name := range rows[0] {
		column[name] = i
	}
	var out []worked
	for _, r := range rows[1:] {
		if r[column["quantity"]] != "pM_in_titration" {
			continue
		}
		at := map[string]string{"alpha_M": "1"}
		for pair := range strings.SplitSeq(r[column["conditions"]], ";") {
			key, value, _ := strings.Cut(pair, "=")
			at[key] = value
		}
		out = append(out, worked{
			id: r[column["id"]], source: r[column["source"]], titrand: at["titrand"], titrant: at["titrant"],
			v0: number(t, at["V0_mL"]), c0: number(t, at["c0_M"]), ct: number(t, at["ct_M"]), v: number(t, at["V_mL"]),
			k: number(t, at["K_conditional"]), alphaM: number(t, at["alpha_M"]),
			pM: number(t, r[column["value"]]), tol: number(t, r[column["tolerance"]]),
		})
	}
	return out
}

// Every worked EDTA titration of the textbooks, at each volume printed, with the
// conditional constant that the book prints (source in each row of the file). The
// exact root of the quadratic is met too, to 1e-8.
func TestWorkedTitrations(t *testing.T) {
	rows := workedTitrations(t)
	require.GreaterOrEqual(t, len(rows), 40)
	worst := 0.0
	for _, w := range rows {
		metal := w.titrand
		if metal == "EDTA" {
			metal = w.titrant
		}
		charge := int(metal[len(metal)-2] - '0')
		vessel := func(ml, c float64, holds string) *solution.Solution {
			if holds == "EDTA" {
				return mix(t, ml, map[string]float64{"edta4-": c})
			}
			return mix(t, ml, map[string]float64{metal: c})
		}
		sample, titrant := vessel(w.v0, w.c0, w.titrand), vessel(100, w.ct, w.titrant)
		complex := map[int]string{2: "(edta)^2-", 3: "(edta)-"}[charge]
		complex = strings.TrimRight(metal, "+0123456789") + complex
		const pH = 10
		constants := map[string]float64{complex: math.Log10(w.k / w.alphaM)}
		only(t, sample, titrant, canonical(t, constants))
		if w.alphaM < 1 {
			// an auxiliary ligand holds 1/α − 1 metals for each free one: stood
			// in for by MOH+
			require.NoError(t, sample.SetConstant(strings.TrimRight(metal, "+0123456789")+"OH+", math.Log10(1/w.alphaM-1)-pH, 0))
		}
		require.NoError(t, sample.HoldPH(pH))
		run, err := titration.New(sample, titrant, metal)
		require.NoError(t, err)
		p, err := run.At(unit.Volume(w.v) * mL)
		require.NoError(t, err)
		assert.InDelta(t, w.pM, p.P, w.tol, "%s: %s", w.id, w.source)
		worst = math.Max(worst, math.Abs(w.pM-p.P))

		total := w.v0 + w.v
		m, y := w.c0*w.v0/total, w.ct*w.v/total
		if w.titrand == "EDTA" {
			m, y = y, m
		}
		// unbound metal x: K′ x (y − m + x) = m − x, the root without
		// cancellation
		b := w.k*(y-m) + 1
		x := 2 * m / (b + math.Sqrt(b*b+4*w.k*m))
		if b < 0 {
			x = (-b + math.Sqrt(b*b+4*w.k*m)) / (2 * w.k)
		}
		assert.InDelta(t, -math.Log10(w.alphaM*x), p.P, 1e-8, "%s: exact root", w.id)
	}
	t.Logf("%d worked points, largest difference from print %.3f", len(rows), worst)
}

// The same curve from the bottom: calcium at pH 10 with the acid constants of
// EDTA in the place of a ready conditional constant. Skoog's α(Y4−) of 0.35 and K
// = 5.0e10 give 2.44, 6.36 and 9.85 at 5, 25 and 35 mL.
func TestCalciumFromAcidConstants(t *testing.T) {
	sample := mix(t, 50, map[string]float64{"Ca2+": 0.005})
	titrant := mix(t, 100, map[string]float64{"H2edta2-": 0.01})
	beta := map[string]float64{"Ca(edta)^2-": math.Log10(5.0e10)}
	sum := 0.0
	for i, pK := range []float64{10.26, 6.16, 2.67, 2.00} { // Schwarzenbach's, 20 °C, I = 0.1
		sum += pK
		beta[[]string{"Hedta3-", "H2edta2-", "H3edta-", "H4edta"}[i]] = sum
	}
	only(t, sample, titrant, canonical(t, beta))
	require.NoError(t, sample.HoldPH(10))
	run, err := titration.New(sample, titrant, "Ca2+")
	require.NoError(t, err)
	for v, want := range map[float64]float64{5: 2.44, 25: 6.36, 35: 9.85} {
		p, err := run.At(unit.Volume(v) * mL)
		require.NoError(t, err)
		assert.InDelta(t, want, p.P, 0.006, "at %g mL", v)
	}
	v, err := run.Equivalence("Ca2+ = edta4-")
	require.NoError(t, err)
	assert.InDelta(t, 25, float64(v/mL), 1e-9)
	bends, err := run.Inflections(context.Background(), 50*mL)
	require.NoError(t, err)
	require.Len(t, bends, 1)
	assert.InDelta(t, 25, bends[0].ML, 0.005)
}

// canonical writes species as the tables do.
func canonical(t testing.TB, in map[string]float64) map[string]float64 {
	t.Helper()
	out := map[string]float64{}
	for name, k := range in {
		f, err := demo.Tables(t).Formation(name)
		require.NoError(t, err)
		out[f.Species.String()] = k
	}
	return out
}

func number(t testing.TB, text string) float64 {
	t.Helper()
	x, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return x
}

// A monoprotic acid, an acid without a constant, and a salt 1:1 are the same
// problem whatever their names; acetate and barium sulfate stand in here for
// those that the tables lack. Figures from memory, each of which the closed form
// confirms: Harvey, Analytical Chemistry 2.1, tables 9.2 and 9.3; Harris,
// Quantitative Chemical Analysis, chapters on acid–base and precipitation
// titrations; Skoog et al., the titration of chloride.
func TestMoreWorkedTitrations(t *testing.T) {
	acid := func(v0, c, pK, b float64) *titration.Titration {
		return book(t, mix(t, v0, map[string]float64{"Hac": c}), strongBase(t, b), "H+", map[string]float64{"Hac": pK})
	}
	salt := func(v0, c, ks, b float64) *titration.Titration {
		sample := mix(t, v0, map[string]float64{"SO4^2-": c, "Na+": 2 * c})
		titrant := mix(t, 100, map[string]float64{"Ba2+": b, "Cl-": 2 * b})
		only(t, sample, titrant, nil)
		require.NoError(t, sample.SetConstant("BaSO4(s, barite)", -math.Log10(ks), 0))
		require.NoError(t, sample.Allow("BaSO4(s, barite)"))
		run, err := titration.New(sample, titrant, "Ba2+")
		require.NoError(t, err)
		return run
	}
	for name, c := range map[string]struct {
		run    *titration.Titration
		points map[float64]float64
	}{
		"Harvey: 50 mL 0.100 M HCl, 0.200 M NaOH": {
			book(t, mix(t, 50, map[string]float64{"H+": 0.1, "Cl-": 0.1}), strongBase(t, 0.2), "H+", nil),
			map[float64]float64{0: 1.00, 5: 1.14, 10: 1.30, 15: 1.51, 20: 1.85, 25: 7.00, 30: 12.10, 35: 12.37, 40: 12.52, 45: 12.62, 50: 12.70},
		},
		"Harvey: 50 mL 0.100 M acetic acid, 0.200 M NaOH": {
			acid(50, 0.1, 4.76, 0.2),
			map[float64]float64{0: 2.88, 5: 4.16, 10: 4.58, 15: 4.94, 20: 5.36, 25: 8.79, 30: 12.10, 50: 12.70},
		},
		"Harris: 50 mL 0.02000 M KOH, 0.1000 M HBr": {
			book(t, mix(t, 50, map[string]float64{"Na+": 0.02, "OH-": 0.02}), strongAcid(t, 0.1), "H+", nil),
			map[float64]float64{0: 12.30, 3: 12.12, 10: 7.00, 10.5: 3.08},
		},
		"Harris: 50 mL 0.02000 M MES of pKa 6.27, 0.1000 M NaOH": {
			acid(50, 0.02, 6.27, 0.1), map[float64]float64{0: 3.99, 3: 5.90, 10: 9.25, 10.1: 10.22},
		},
		"Harris: 25 mL 0.1000 M iodide, 0.05000 M silver, Ksp 8.3e-17": {
			salt(25, 0.1, 8.3e-17, 0.05), map[float64]float64{10: 14.84, 50: 8.04, 52: 2.89},
		},
		"Skoog: 50 mL 0.0500 M chloride, 0.1000 M silver, Ksp 1.82e-10": {
			salt(50, 0.05, 1.82e-10, 0.1), map[float64]float64{10: 8.14, 25: 4.87, 26: 2.88},
		},
	} {
		for v, want := range c.points {
			p, err := c.run.At(unit.Volume(v) * mL)
			require.NoError(t, err)
			assert.InDelta(t, want, p.P, 0.006, "%s, at %g mL", name, v)
		}
	}
}

func FuzzBalance(f *testing.F) {
	for _, text := range []string{"Ca2+ = edta4-", "H+ = 2 ac-", "0 = H+", "H+", "= =", "1e309 H+ = 0", "NaN H+ = 0", " + = + "} {
		f.Add(text)
	}
	run, err := titration.New(mix(f, 50, map[string]float64{"Hac": 0.1, "Ca2+": 0.01}), strongBase(f, 0.1), "H+")
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, text string) {
		if v, err := run.Equivalence(text); err == nil && !(v > 0) {
			t.Errorf("%q: %g", text, float64(v))
		}
	})
}
