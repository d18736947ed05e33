package equilibrium

import (
	"encoding/csv"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

// tableauCase is one problem of testdata/solver-problems.csv with one set of
// totals.
type tableauCase struct {
	problem, name     string
	components        []string
	speciesNames      []string
	species, solids   [][]float64
	lnK, lnKs         []float64
	total, answer     []float64
	solid, electron   float64 // NaN where the file gives none
	cond              float64
	electronComponent int
}

// published reads testdata/solver-problems.csv; each of its rows carries its
// source.
func published(t testing.TB) []*tableauCase {
	f, err := os.Open("../../testdata/solver-problems.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	type problem struct {
		comp, spec map[string]int
		tableauCase
	}
	problems := map[string]*problem{}
	cases := map[[2]string]*tableauCase{}
	var order []*tableauCase
	for _, row := range rows[1:] {
		name, label, record, species, component := row[0], row[1], row[2], row[3], row[4]
		v := math.NaN()
		if row[5] != "" {
			v, err = strconv.ParseFloat(row[5], 64)
			require.NoError(t, err)
		}
		p := problems[name]
		if p == nil {
			p = &problem{comp: map[string]int{}, spec: map[string]int{}}
			problems[name] = p
		}
		var c *tableauCase
		if label != "" {
			key := [2]string{name, label}
			if c = cases[key]; c == nil {
				c = new(tableauCase)
				*c = p.tableauCase
				c.problem, c.name = name, label
				c.total = make([]float64, len(c.components))
				c.answer = make([]float64, len(c.species))
				c.solid, c.electron, c.cond = math.NaN(), math.NaN(), math.NaN()
				c.lnKs = []float64{}
				for range c.solids {
					c.lnKs = append(c.lnKs, math.Inf(1))
				}
				if label == "solid" {
					copy(c.lnKs, p.lnKs)
				}
				cases[key] = c
				order = append(order, c)
			}
		}
		switch record {
		case "component":
			p.comp[component] = len(p.components)
			p.components = append(p.components, component)
		case "log10_k":
			p.spec[species] = len(p.species)
			p.speciesNames = append(p.speciesNames, species)
			p.species = append(p.species, make([]float64, len(p.components)))
			p.lnK = append(p.lnK, v*math.Ln10)
		case "coefficient":
			p.species[p.spec[species]][p.comp[component]] = v
		case "log10_ks":
			p.solids = append(p.solids, make([]float64, len(p.components)))
			p.lnKs = append(p.lnKs, v*math.Ln10)
		case "solid_coefficient":
			p.solids[0][p.comp[component]] = v
		case "total":
			c.total[p.comp[component]] = v
		case "condition":
			c.cond = v
		case "answer":
			c.answer[p.spec[species]] = v
		case "log10_free":
			c.electron, c.electronComponent = v*math.Ln10, p.comp[component]
		case "solid":
			c.solid = v
		default:
			t.Fatalf("unknown record %q", record)
		}
	}
	return order
}

// TestPublished solves the cases from the cold and from every start that the
// problem file names: all components at 1e-3, 1e-7, 1e-14 and 1, and random
// over 12 decades.
func TestPublished(t *testing.T) {
	for _, c := range published(t) {
		t.Run(c.problem+"/"+c.name, func(t *testing.T) {
			s, err := New(len(c.components), c.species, c.solids)
			require.NoError(t, err)
			w, r := s.NewWorkspace(), new(Result)
			cond := Conditions{LnK: c.lnK, LnKs: c.lnKs, Total: c.total}
			tol := 1e-9
			if c.cond < 1e3 {
				tol = 1e-12
			}
			worst, most := 0.0, 0
			check := func(start string) {
				t.Helper()
				for j, want := range c.answer {
					if want < 1e-300 {
						require.Less(t, r.C[j], 1e-290)
						continue
					}
					e := math.Abs(r.C[j]/want - 1)
					worst = max(worst, e)
					if !(e <= tol) {
						t.Errorf("from %s: %s = %.15g, want %.15g (off by %.1g)", start, c.speciesNames[j], r.C[j], want, e)
					}
				}
				if !math.IsNaN(c.electron) {
					require.InDelta(t, c.electron, r.LnC[c.electronComponent], 1e-9)
				}
				if !math.IsNaN(c.solid) {
					require.InEpsilon(t, c.solid, r.Solid[0], 1e-9)
				}
				require.LessOrEqual(t, r.Residual, 1e-12)
				most = max(most, r.Iterations)
			}
			require.NoError(t, w.Solve(&cond, r))
			check("cold")
			cold := r.Iterations
			from := func(name string, x func() float64) {
				for i := range r.LnC {
					r.LnC[i] = x()
				}
				clear(r.Solid)
				require.NoError(t, w.SolveFrom(&cond, r))
				check(name)
			}
			for _, v := range []float64{1e-3, 1e-7, 1e-14, 1} {
				from(strconv.FormatFloat(v, 'g', -1, 64), func() float64 { return math.Log(v) })
			}
			rng := rand.New(rand.NewPCG(1, 2))
			for range 100 {
				from("random", func() float64 { return -12 * math.Ln10 * rng.Float64() })
			}
			if c.problem == "2b" { // coefficients 10 and 8: the issue of step control
				require.LessOrEqual(t, most, 20)
			}
			t.Logf("cond %7.1e: cold %2d iterations, worst start %2d, largest relative error %.1e", c.cond, cold, most, worst)
		})
	}
}
